"""Limits, series and counts at their edges: nouns, names and amounts too small to round."""

from decimal import Decimal

import pytest

from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Bound,
    Decision,
    Limit,
    MappedPlace,
    Outcome,
    cannot_be_judged,
    enough_readings,
    judge_each,
    judge_places,
    mapping_findings,
)


def limit(bound: Bound = Bound.AT_LEAST, **more: object) -> Limit:
    return Limit(rule="r", label="Margin", value=Decimal(3), bound=bound, source="plan", **more)  # type: ignore[arg-type]


def test_a_miss_too_small_to_round_is_stated_in_its_digits() -> None:
    found = limit().judge(Decimal("2.999999"))

    assert found.observed == "2.999999"
    assert found.statement == "Margin 2.999999: misses at least 3 by 0.000001."


@pytest.mark.parametrize(
    ("value", "outcome", "said", "flag"),
    [
        ("2.9", Outcome.CONFORMS, "misses at least 3 by 0.1, within the 0.5 that", True),
        ("2.5", Outcome.CONFORMS, "misses at least 3 by 0.5, within the 0.5 that", True),
        ("2.4", Outcome.DOES_NOT_CONFORM, "misses at least 3 by 0.6, more than the 0.5", False),
    ],
)
def test_guarded_rejection_fails_only_beyond_the_guard_band(
    value: str, outcome: Outcome, said: str, flag: bool
) -> None:
    """ILAC-G8:09/2019: a guard band below zero widens the acceptance."""
    widened = limit(decision=Decision.GUARDED_REJECTION, uncertainty=Decimal("0.5"))

    found = widened.judge(Decimal(value))

    assert found.outcome is outcome
    assert said in found.statement
    assert found.limit == "at least 3, widened by 0.5 (guarded rejection)"
    assert found.source == "plan; guarded rejection to be confirmed against the licensed text"
    assert found.flags == (("r: conditional fail, accepted by guarded rejection",) if flag else ())


def test_a_guard_without_an_uncertainty_widens_nothing() -> None:
    found = limit(decision=Decision.GUARDED_REJECTION).judge(Decimal("2.9"))

    assert (found.outcome, found.limit) == (Outcome.DOES_NOT_CONFORM, "at least 3")
    assert (found.source, found.flags) == ("plan", ())


def test_several_values_that_fail_are_counted_by_their_noun() -> None:
    values = [Decimal(n) for n in (1, 2, 4)]

    found = judge_each(limit(), values, "", lambda i: f"place {i}", "places")

    assert found.statement.endswith(" 2 of 3 places fail: place 0, place 1.")
    assert found.source == "plan"


def test_no_more_than_five_values_that_fail_are_named() -> None:
    five, six = ([Decimal(n) / 10 for n in range(count)] for count in (5, 6))

    assert judge_each(limit(), five, "", str).statement.endswith(": 0, 1, 2, 3, 4.")
    assert judge_each(limit(), six, "", str).statement.endswith(": 0, 1, 2, 3, 4, ...")


def test_a_limit_in_another_unit_counts_the_values_that_fail_in_theirs() -> None:
    """Calculated: 5 mil are 127 um, 128 um are 5.04 mil."""
    asked = Limit(
        rule="r", label="Profile", value=Quantity.parse("5 mil"), bound=Bound.AT_MOST, source="plan"
    )

    found = judge_each(asked, [Decimal(127), Decimal("127.1"), Decimal(128)], "um", str)

    assert found.observed == "5.04 mil"
    assert found.statement.endswith(" 2 of 3 values fail: 2, 1.")


@pytest.mark.parametrize(
    ("count", "said"),
    [(0, "; 3 more to take."), (2, "; 1 more to take."), (3, "at least 3 asked for.")],
)
def test_how_many_readings_are_still_to_take_is_said(count: int, said: str) -> None:
    found = enough_readings("r", count, 3, source="plan")

    assert found.statement.startswith(f"{count} readings,")
    assert found.statement.endswith(said)
    assert (found.rule, found.source) == ("r", "plan")


def test_what_cannot_be_judged_has_neither_value_nor_limit() -> None:
    found = cannot_be_judged("r", "Said.")

    assert (found.rule, found.observed, found.limit, found.source) == ("r", "", "", "")


def test_five_reasons_stand_without_dots_and_the_sixth_with() -> None:
    def said(count: int) -> str:
        judged = [(Outcome.INCOMPLETE, f"reason {i}") for i in range(count)]
        return judge_places("r", judged, observed="", limit="", source="").statement

    assert said(5).endswith("reading 5: reason 4.")
    assert said(6).endswith("reading 5: reason 4; ...")


def test_a_mapped_place_has_its_finding_with_count_limit_and_source() -> None:
    places = [
        MappedPlace("spot 3", "up", False),
        MappedPlace("spot 3", "up", True),
        MappedPlace("spot 3", "up", True),
        MappedPlace("spot 3", "down", True),
        MappedPlace("spot 3", "left", True, ends=True, measured=False),
    ]

    (found,) = mapping_findings("x.mapping", places, 4, "published")

    assert (found.rule, found.outcome, found.source) == (
        "x.mapping",
        Outcome.DOES_NOT_CONFORM,
        "published",
    )
    assert (found.observed, found.limit) == (
        "4",
        "2 conforming places in a row in each direction",
    )
    assert found.statement == (
        "3 of 4 directions mapped around spot 3; go on towards down; "
        "places outwards that belong to the nonconforming area: up 1."
    )
