"""Sums, means and medians keep every digit; products and differences too."""

import math
import statistics
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from qc.engine.formulas.statistics import (
    all_decimal,
    conformity_probability,
    difference,
    in_one_unit,
    mean,
    median,
    product,
    scaled,
    total,
    totals,
)
from qc.engine.quantities import Magnitude, Quantity

readings = st.decimals(0, 10**15 - 1, places=15)
some = st.lists(readings, min_size=1, max_size=30)


def decimals(*values: str) -> list[Decimal]:
    return [Decimal(value) for value in values]


def test_the_mean_of_three_gauge_readings_is_exact() -> None:
    """Calculated: as binary floats the mean is 6.3999... and misses a limit that it meets."""
    assert mean(decimals("6.1", "6.5", "6.6")) == Fraction("6.4")
    assert sum([6.1, 6.5, 6.6]) / 3 < 6.4


def test_thirds_stay_exact() -> None:
    assert mean(decimals("10", "10.3", "9.9")) == Fraction(302, 30)


def test_the_hardness_example_has_its_mean_and_median() -> None:
    """Calculated."""
    values = decimals("78", "80", "79", "81", "76")

    assert mean(values) == Fraction("78.8")
    assert median(values) == 79


def test_the_median_of_an_even_number_lies_between_the_middle_two() -> None:
    assert median(decimals("1", "10", "2", "4")) == 3


@pytest.mark.parametrize("statistic", [mean, median])
def test_nothing_has_no_mean_and_no_median(statistic: object) -> None:
    with pytest.raises(ValueError, match="no values"):
        statistic([])  # type: ignore[operator]


def test_a_sum_keeps_digits_that_the_default_context_would_round() -> None:
    values = decimals("999999999999999.000000000000001", "0.000000000000001")

    assert total(values) == Decimal("999999999999999.000000000000002")
    assert values[0] + values[1] != total(values)


@given(some)
def test_sums_means_and_medians_agree_with_fractions(values: list[Decimal]) -> None:
    exact = [Fraction(value) for value in values]

    assert Fraction(total(values)) == sum(exact)
    assert mean(values) == sum(exact) / len(exact)
    assert median(values) == statistics.median(exact)


@given(some)
def test_order_changes_neither_mean_nor_median(values: list[Decimal]) -> None:
    assert mean(values[::-1]) == mean(values)
    assert median(values[::-1]) == median(values)


@given(some, st.integers(1, 5))
def test_sums_of_runs_are_the_sums_of_their_slices(values: list[Decimal], step: int) -> None:
    ends = [*range(step, len(values), step), len(values)]
    runs = [values[start:end] for start, end in zip([0, *ends], ends, strict=False)]

    assert totals(values, ends) == [total(run) for run in runs]


def test_sums_of_runs_take_fractions_too() -> None:
    values: list[Magnitude] = [Fraction(1, 3), Decimal(1), Decimal(2)]

    assert totals(values, [2, 3]) == [Fraction(4, 3), 2]
    assert not all_decimal(values)


def test_a_share_of_a_limit_is_exact_and_written_plainly() -> None:
    assert str(scaled(Quantity(Decimal("8"), "mil"), Decimal("0.8"))) == "6.4 mil"
    assert str(scaled(Quantity(Decimal("300"), "um"), Decimal("0.8"))) == "240 um"
    assert str(product(Decimal("84"), Decimal("0.9"))) == "75.6"
    assert scaled(Quantity(Fraction(1, 3), "um"), Decimal("0.3")).magnitude == Fraction(1, 10)


def test_a_difference_is_exact_across_units() -> None:
    assert str(difference(Quantity.parse("110 um"), Quantity.parse("50 um"))) == "60 um"
    across = difference(Quantity.parse("3 mil"), Quantity.parse("25.4 um"))

    assert across == Quantity(Decimal(2), "mil")


def test_values_of_one_unit_are_passed_through_and_others_converted() -> None:
    same = [Quantity.parse("1 mil"), Quantity.parse("2 mil")]

    assert in_one_unit(same, "mil") == [Decimal(1), Decimal(2)]
    assert in_one_unit([*same, Quantity.parse("25.4 um")], "mil") == [1, 2, 1]


@pytest.mark.parametrize(
    ("inside", "uncertainty", "expected"),
    [
        ("10", "15", 0.909),
        ("15", "15", 0.977),
        ("16", "15", 0.984),
        ("-5", "15", 0.2525),
        ("0", "3", 0.5),
        ("2", "3", 0.909),
        ("3", "3", 0.977),
    ],
)
def test_the_probability_of_conformity_of_the_calculated_examples(
    inside: str, uncertainty: str, expected: float
) -> None:
    """Calculated: mean thickness at least 300 with U = 15, Shore D at least 72 with U = 3."""
    chance = conformity_probability(Fraction(inside), Fraction(uncertainty))

    assert chance == pytest.approx(expected, abs=0.0005)


def test_without_uncertainty_a_value_conforms_for_certain_or_not_at_all() -> None:
    assert conformity_probability(Fraction(0), Fraction(0)) == 1
    assert conformity_probability(Fraction(-1, 1000), Fraction(0)) == 0


@given(st.fractions(-50, 50), st.fractions(1, 20))
def test_the_probability_is_that_of_the_normal_distribution(
    inside: Fraction, uncertainty: Fraction
) -> None:
    expected = float(norm.cdf(float(2 * inside / uncertainty)))

    chance = conformity_probability(inside, uncertainty)

    assert math.isclose(chance, expected, abs_tol=1e-12)
