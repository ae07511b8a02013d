"""What a revision changed: steps added, removed and moved, and every field."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.records.plan_changes import Change, changes_between
from qc.records.templates import StepTemplate
from tests.factories import SHORT_PLAN

AMBIENT, FILLER, THICKNESS, HARDNESS = SHORT_PLAN
SPARE = replace(AMBIENT, key="spare", title="Spare")


def told(*after: StepTemplate) -> list[tuple[str, str]]:
    return [(str(c.what), c.key) for c in changes_between(SHORT_PLAN, after)]


def test_the_same_plan_has_no_changes() -> None:
    assert told(*SHORT_PLAN) == []


def test_a_step_added_moves_no_other() -> None:
    assert told(SPARE, *SHORT_PLAN) == [("added", "spare")]


def test_a_step_removed_moves_no_other() -> None:
    assert told(FILLER, THICKNESS, HARDNESS) == [("removed", "ambient")]


@pytest.mark.parametrize(
    "after",
    [(FILLER, THICKNESS, HARDNESS, AMBIENT), (FILLER, THICKNESS, AMBIENT, HARDNESS)],
)
def test_a_step_taken_elsewhere_is_the_one_that_moved(after: tuple[StepTemplate, ...]) -> None:
    assert told(*after) == [("moved", "ambient")]


def test_two_steps_that_change_places_are_one_move() -> None:
    assert len(told(AMBIENT, THICKNESS, FILLER, HARDNESS)) == 1


def test_a_step_can_be_moved_and_changed_at_once() -> None:
    other = replace(AMBIENT, title="Air and steel")

    assert told(FILLER, THICKNESS, HARDNESS, other) == [
        ("moved", "ambient"),
        ("changed", "ambient"),
    ]


def test_places_are_those_of_either_plan() -> None:
    (added, removed) = changes_between(SHORT_PLAN, (SPARE, *SHORT_PLAN[1:]))

    assert (added.what, added.position_before, added.position_after) == (Change.ADDED, None, 1)
    assert (removed.what, removed.position_before, removed.position_after) == (
        Change.REMOVED,
        1,
        None,
    )


@pytest.mark.parametrize(
    ("changes", "path", "before", "after"),
    [
        ({"title": "Depth"}, "title", "Filler thickness", "Depth"),
        ({"sampling": "ten"}, "sampling", "eight stations", "ten"),
        ({"rows": 3}, "rows", 1, 3),
        ({"needs_batch": True}, "needs_batch", False, True),
        ({"instrument_kinds": ()}, "instrument_kinds", ["depth_gauge"], []),
        ({"prerequisites": ("mixing",)}, "prerequisites", [], ["mixing"]),
        ({"points": {}}, "points.client", "hold", None),
        ({"points": {"client": "witness"}}, "points.client", "hold", "witness"),
        ({"qualifications": {"applicator": ["wrap"]}}, "qualifications.applicator", None, ["wrap"]),
        ({"characteristic": "hardness"}, "characteristic", "thickness", "hardness"),
    ],
)
def test_each_field_is_told_as_it_was_and_as_it_is(
    changes: dict[str, Any], path: str, before: Any, after: Any
) -> None:
    (change,) = changes_between((THICKNESS,), (replace(THICKNESS, **changes),))

    assert [(f.path, f.before, f.after) for f in change.fields] == [(path, before, after)]


def test_criteria_are_told_with_their_sources() -> None:
    other = replace(
        THICKNESS,
        criteria={"rule": "minimum", "min": "4 mm", "max": "9 mm"},
        sources={"rule": "design DN-7", "min": "design DN-7", "max": "design DN-7"},
    )

    (change,) = changes_between((THICKNESS,), (other,))

    told = [(f.path, f.before, f.source_before, f.after, f.source_after) for f in change.fields]
    assert told == [
        ("criteria.rule", "minimum", "common practice", "minimum", "design DN-7"),
        ("criteria.min", "5 mm", "common practice", "4 mm", "design DN-7"),
        ("criteria.max", None, "", "9 mm", "design DN-7"),
    ]


@given(st.permutations([*SHORT_PLAN, SPARE]))
def test_what_is_told_as_moved_is_what_it_takes_to_get_the_new_order(
    after: list[StepTemplate],
) -> None:
    before = (*SHORT_PLAN, SPARE)
    moved = {c.key for c in changes_between(before, after) if c.what is Change.MOVED}

    stayed_before = [s.key for s in before if s.key not in moved]
    stayed_after = [s.key for s in after if s.key not in moved]
    assert stayed_before == stayed_after
