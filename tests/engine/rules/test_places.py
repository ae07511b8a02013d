"""Many places in one finding: the worst decides and says where."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.rules import Finding, Judged, Outcome, judge_places, worst

CLEAN = (Outcome.CONFORMS, "clean")
DIRTY = (Outcome.DOES_NOT_CONFORM, "dirt was found")
OPEN = (Outcome.INCOMPLETE, "not looked at")


def finding(*judged: Judged, names: tuple[str, ...] = ()) -> Finding:
    return judge_places("a.b", judged, observed="seen", limit="asked", source="here", names=names)


def test_a_single_place_is_not_named() -> None:
    found = finding(DIRTY)

    assert found.statement == "Dirt was found."
    assert (found.rule, found.observed, found.limit, found.source) == (
        "a.b",
        "seen",
        "asked",
        "here",
    )


@pytest.mark.parametrize(
    ("judged", "statement"),
    [
        ((CLEAN, DIRTY, CLEAN), "Reading 2: dirt was found."),
        ((DIRTY, OPEN, DIRTY), "Reading 1, 3: dirt was found."),
        ((CLEAN, OPEN), "Reading 2: not looked at."),
        ((CLEAN,) * 7, "Reading 1, 2, 3, 4, 5, ...: clean."),
    ],
)
def test_the_places_for_which_the_worst_holds_are_named(
    judged: tuple[Judged, ...], statement: str
) -> None:
    assert finding(*judged).statement == statement


def test_places_may_have_names() -> None:
    found = finding(DIRTY, CLEAN, DIRTY, names=("north", "south", "west"))

    assert found.statement == "North, west: dirt was found."


@given(st.lists(st.sampled_from([CLEAN, DIRTY, OPEN]), min_size=1, max_size=8))
def test_the_worst_place_decides(judged: list[Judged]) -> None:
    assert finding(*judged).outcome is worst(outcome for outcome, _ in judged)
