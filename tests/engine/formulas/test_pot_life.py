"""Pot life by table, and by halving outside it."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.formulas.pot_life import HALVING_STEP, PotLife, halved, pot_life

TWENTY = [(Fraction(20), Fraction(2))]
THREE = [(Fraction(20), Fraction(2)), (Fraction(30), Fraction(1)), (Fraction(40), Fraction(1, 2))]


@pytest.mark.parametrize(("celsius", "minutes"), [(20, 120), (30, 60), (40, 30)])
def test_the_published_halving_is_exact(celsius: int, minutes: int) -> None:
    """A paint maker's pot-life note: 2 h at 20 degC, 1 h at 30 degC, 30 min at 40 degC."""
    found = pot_life(TWENTY, Fraction(celsius))

    assert found.hours * 60 == minutes
    assert found.estimated == (celsius != 20)


@pytest.mark.parametrize(
    ("celsius", "minutes"), [(10, "240"), (15, "169.7"), (25, "84.85"), (35, "42.43")]
)
def test_between_the_published_values_the_halving_is_continuous(celsius: int, minutes: str) -> None:
    """Calculated from p = 120 min * 2 ** ((20 - T) / 10)."""
    found = float(pot_life(TWENTY, Fraction(celsius)).hours * 60)

    assert found == pytest.approx(120 * 2 ** ((20 - celsius) / 10), rel=1e-15)
    assert round(found, len(minutes.partition(".")[2])) == float(minutes)


@pytest.mark.parametrize(("celsius", "rate"), [(10, "0.5"), (5, "0.354"), (30, "2"), (40, "4.0")])
def test_how_much_faster_the_halving_makes_it(celsius: int, rate: str) -> None:
    """Calculated: 2 ** ((T - 20) / 10), which a rate of 51.2 kJ/mol only resembles."""
    found = 1 / float(halved(Fraction(1), Fraction(20), Fraction(celsius), HALVING_STEP))

    assert round(found, 3) == float(rate)


def test_between_two_rows_the_hotter_one_counts_and_is_no_estimate() -> None:
    found = pot_life(THREE, Fraction("20.001"))

    assert found == PotLife(Fraction(1), estimated=False)


@pytest.mark.parametrize(("celsius", "hours"), [(20, "2"), (30, "1"), (40, "1/2")])
def test_on_a_row_the_row_counts(celsius: int, hours: str) -> None:
    found = pot_life(THREE, Fraction(celsius))

    assert found == PotLife(Fraction(hours), estimated=False)


def test_colder_than_several_rows_the_coldest_counts() -> None:
    found = pot_life(THREE, Fraction(-5))

    assert found == PotLife(Fraction(2), estimated=False)


def test_hotter_than_the_hottest_row_is_halved_from_it_and_estimated() -> None:
    found = pot_life(THREE, Fraction(50))

    assert found == PotLife(Fraction(1, 4), estimated=True)


def test_a_product_may_halve_over_another_step() -> None:
    assert pot_life(TWENTY, Fraction(35), Fraction(15)).hours == 1


@given(st.fractions(-50, 150), st.fractions(0, 30))
def test_a_hotter_material_never_lasts_longer(celsius: Fraction, by: Fraction) -> None:
    for rows in (TWENTY, THREE):
        assert pot_life(rows, celsius + by).hours <= pot_life(rows, celsius).hours


@given(st.fractions(-50, 150))
def test_a_step_hotter_is_half_as_long(celsius: Fraction) -> None:
    hotter = halved(Fraction(2), Fraction(20), celsius + HALVING_STEP, HALVING_STEP)

    assert hotter * 2 == halved(Fraction(2), Fraction(20), celsius, HALVING_STEP)
