"""Products and differences of long numbers keep every digit."""

from decimal import Decimal
from fractions import Fraction

import pytest

from qc.engine.formulas.statistics import conformity_probability, difference, product, scaled
from qc.engine.quantities import Quantity


def test_a_product_of_long_numbers_keeps_every_digit() -> None:
    """Calculated: (1 + 1e-20)^2 = 1 + 2e-20 + 1e-40."""
    found = product(Decimal("1.00000000000000000001"), Decimal("1.00000000000000000001"))

    assert str(found) == "1.0000000000000000000200000000000000000001"


@pytest.mark.parametrize(
    ("value", "factor", "text"),
    [("8", "0.8", "6.4"), ("10", "0.5", "5"), ("2.50", "4.0", "10"), ("0.10", "0.50", "0.05")],
)
def test_a_product_has_no_idle_zeros_and_a_whole_one_no_exponent(
    value: str, factor: str, text: str
) -> None:
    assert str(product(Decimal(value), Decimal(factor))) == text


def test_a_fraction_is_scaled_exactly() -> None:
    third = Quantity(Fraction(1, 3), "mm")

    assert scaled(third, Decimal("0.9")) == Quantity(Fraction(3, 10), "mm")


def test_a_difference_of_long_numbers_keeps_every_digit_and_the_first_unit() -> None:
    first = Quantity.parse("100000000000000.000000000000001 mm")

    found = difference(first, Quantity.parse("1 mm"))

    assert str(found) == "99999999999999.000000000000001 mm"
    assert str(difference(Quantity.parse("1 in"), Quantity.parse("25.4 mm"))) == "0 in"


@pytest.mark.parametrize(
    ("inside", "other", "chance"),
    [("0", None, 1.0), ("-0.001", None, 0.0), ("1", "0", 1.0), ("1", "-0.001", 0.0)],
)
def test_without_an_uncertainty_a_value_meets_its_limits_or_does_not(
    inside: str, other: str | None, chance: float
) -> None:
    on_the_other = None if other is None else Fraction(other)

    assert conformity_probability(Fraction(inside), Fraction(0), on_the_other) == chance
