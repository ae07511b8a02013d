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


def test_each_reason_stands_once_with_its_places() -> None:
    salty = (Outcome.DOES_NOT_CONFORM, "salt was found")

    found = finding(DIRTY, salty, CLEAN, DIRTY)

    assert found.statement == "Reading 1, 4: dirt was found; reading 2: salt was found."


def test_more_reasons_than_one_reads_are_cut_off() -> None:
    many = [(Outcome.DOES_NOT_CONFORM, f"{i} mm") for i in range(1, 8)]

    said = finding(*many).statement

    assert said.startswith("Reading 1: 1 mm; reading 2: 2 mm;")
    assert said.endswith("reading 5: 5 mm; ...")


def test_a_place_of_several_readings_is_named_once() -> None:
    assert finding(DIRTY, DIRTY, names=("north", "north")).statement == "North: dirt was found."


def test_places_may_have_names() -> None:
    found = finding(DIRTY, CLEAN, DIRTY, names=("north", "south", "west"))

    assert found.statement == "North, west: dirt was found."


@given(st.lists(st.sampled_from([CLEAN, DIRTY, OPEN]), min_size=1, max_size=8))
def test_the_worst_place_decides(judged: list[Judged]) -> None:
    assert finding(*judged).outcome is worst(outcome for outcome, _ in judged)
