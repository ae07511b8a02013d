"""Rounding for display: never on the wrong side of the limit, never the limit itself."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from qc.engine.quantities import decimal_text, shown

entries = st.decimals(-1000, 1000, places=8)
fractions = st.fractions(-1000, 1000, max_denominator=10_000)


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (Decimal("21.3069"), 1, "21.3"),
        (Decimal("2"), 1, "2.0"),
        (Decimal("0.25"), 1, "0.2"),
        (Decimal("0.35"), 1, "0.4"),
        (Decimal("-0.04"), 1, "0.0"),
        (Fraction(1, 3), 2, "0.33"),
        (Fraction(-20, 3), 1, "-6.7"),
        (Decimal("123456.5"), 0, "123456"),
    ],
)
def test_without_a_limit_a_value_is_rounded_half_to_even(
    value: Decimal | Fraction, places: int, text: str
) -> None:
    assert shown(value, places) == text


@pytest.mark.parametrize(
    ("value", "limit", "text"),
    [
        ("2.9907", "3", "2.99"),
        ("2.99", "3", "2.99"),
        ("2.95", "3", "2.95"),
        ("2.94", "3", "2.9"),
        ("2.9999", "3", "2.9999"),
        ("3", "3", "3.0"),
        ("3.0001", "3", "3.0001"),
        ("3.06", "3", "3.1"),
        ("85.04", "85", "85.04"),
        ("-0.04", "0", "-0.04"),
    ],
)
def test_digits_are_added_until_the_value_shows_its_side(value: str, limit: str, text: str) -> None:
    assert shown(Decimal(value), 1, Decimal(limit)) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [("2.9999", "2.9999"), ("3.4999", "3.4999"), ("3.2", "3.2"), ("3.5", "3.5"), ("3.52", "3.52")],
)
def test_a_value_shows_its_side_of_every_limit(value: str, text: str) -> None:
    """The limit 3, and 3.5 as what a decision guarded by 0.5 accepts."""
    assert shown(Decimal(value), 1, Decimal(3), None, Fraction(7, 2)) == text


def test_a_third_just_short_of_its_limit_still_shows_its_side() -> None:
    just_short = Fraction(3) - Fraction(1, 3 * 10**14)

    assert Decimal(shown(just_short, 1, Decimal(3))) < 3


@given(entries | fractions, entries, st.integers(0, 4))
def test_a_failing_value_never_prints_as_its_limit(
    value: Decimal | Fraction, limit: Decimal, places: int
) -> None:
    assume(Fraction(value) != Fraction(limit))

    printed = Decimal(shown(value, places, limit))

    assert printed != limit
    assert (printed > limit) is (Fraction(value) > Fraction(limit))


@given(entries, st.integers(0, 4))
def test_a_value_on_its_limit_prints_as_the_limit(value: Decimal, places: int) -> None:
    assert Decimal(shown(value, places, value)) == value


@given(entries | fractions, st.integers(0, 6))
def test_what_is_shown_is_close_to_what_is_meant(value: Decimal | Fraction, places: int) -> None:
    off = abs(Fraction(Decimal(shown(value, places))) - Fraction(value))

    assert off <= Fraction(1, 2 * 10**places)


def test_extremes_print_without_an_exponent() -> None:
    widest, limit = Decimal("999999999999999.100000000000001"), Decimal("999999999999999.1")

    assert shown(widest, 1, limit) == "999999999999999.100000000000001"
    assert decimal_text(Decimal("0.000000000000001")) == "0.000000000000001"
    assert decimal_text(Fraction(10**20, 3)) == "33333333333333333333.333333"
    assert decimal_text(Fraction(10**6)) == "1000000"


def test_a_decimal_keeps_the_digits_of_its_entry() -> None:
    assert decimal_text(Decimal("3.50")) == "3.50"
    assert decimal_text(Fraction(7, 2)) == "3.5"
