"""Time between moments is exact, whatever their offsets."""

from datetime import UTC, datetime
from fractions import Fraction

import pytest

from qc.engine.formulas.elapsed import elapsed, hours_between, hours_of, moment_after
from qc.engine.quantities import InvalidQuantity, Quantity

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


def test_hours_are_exact_to_the_microsecond() -> None:
    assert hours_between(NOON, NOON.replace(hour=13, minute=20)) == Fraction(4, 3)
    assert hours_between(NOON, NOON.replace(microsecond=1)) == Fraction(1, 3_600_000_000)


def test_an_earlier_end_is_below_zero() -> None:
    assert hours_between(NOON, NOON.replace(hour=11)) == -1


def test_two_offsets_of_one_instant_are_no_time_apart() -> None:
    summer = datetime.fromisoformat("2026-05-12T13:00+01:00")

    assert hours_between(NOON, summer) == 0


def test_elapsed_is_in_the_unit_asked_for() -> None:
    assert elapsed(NOON, NOON.replace(minute=1, second=30)) == Quantity.parse("1.5 min")
    assert elapsed(NOON, NOON.replace(minute=1), "s").unit == "s"


def test_a_time_in_hours_is_exact_and_a_length_is_refused() -> None:
    assert hours_of(Quantity.parse("100 s")) == Fraction(1, 36)
    with pytest.raises(InvalidQuantity):
        hours_of(Quantity.parse("1 mm"))


def test_a_moment_is_the_full_second_before_or_after() -> None:
    third = Fraction(1, 3 * 3600)

    assert moment_after(NOON, third) == NOON
    assert moment_after(NOON, third, round_up=True) == NOON.replace(second=1)
    assert moment_after(NOON, Fraction(2), round_up=True) == NOON.replace(hour=14)


def test_the_fraction_of_a_second_of_the_start_counts() -> None:
    start = NOON.replace(microsecond=700_000)

    assert moment_after(start, Fraction(1, 2 * 3600)) == NOON.replace(second=1)
    assert moment_after(start, Fraction(1, 2 * 3600), round_up=True) == NOON.replace(second=2)


def test_a_microsecond_makes_a_second_full() -> None:
    start = NOON.replace(microsecond=999_999)

    assert moment_after(start, Fraction(1, 3_600_000_000)) == NOON.replace(second=1)


def test_past_the_end_of_the_calendar_there_is_no_moment() -> None:
    assert moment_after(NOON, Fraction(10**12)) is None
