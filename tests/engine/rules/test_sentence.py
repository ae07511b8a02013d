"""Counted things, cut lists and full stops in statements."""

import pytest

from qc.engine.rules import (
    Outcome,
    by_reason,
    counted,
    ended,
    enough_readings,
    judge_places,
    listed,
)


@pytest.mark.parametrize(("number", "said"), [(0, "0 tests"), (1, "1 test"), (2, "2 tests")])
def test_one_thing_is_counted_in_the_singular(number: int, said: str) -> None:
    assert counted(number, "test") == said


@pytest.mark.parametrize(("number", "said"), [(0, "0 values in A"), (1, "1 value in A")])
def test_what_is_counted_may_be_told_apart(number: int, said: str) -> None:
    found = enough_readings("r", number, 1, "value", which="in A")

    assert found.statement.startswith(f"{said}, at least 1 asked for")


@pytest.mark.parametrize(
    ("count", "said"), [(1, "1."), (5, "1, 2, 3, 4, 5."), (6, "1, 2, 3, 4, 5, ...")]
)
def test_a_list_ends_in_a_full_stop_or_in_three_dots(count: int, said: str) -> None:
    assert ended(listed(range(1, count + 1))) == said


def test_a_sentence_keeps_the_one_full_stop_it_has() -> None:
    assert ended("Dry.") == ended("Dry") == "Dry."


def test_numbers_stand_by_their_own_reason_once() -> None:
    stated = [(1, "wet"), (2, "cold"), (3, "wet"), (3, "wet")]

    assert by_reason(stated) == {"wet": [1, 3], "cold": [2]}
    assert by_reason([]) == {}


def test_more_reasons_than_are_named_end_in_three_dots() -> None:
    judged = [(Outcome.INCOMPLETE, f"reason {i}") for i in range(6)]

    found = judge_places("r", judged, observed="", limit="", source="")

    assert found.statement.endswith("reading 5: reason 4; ...")
