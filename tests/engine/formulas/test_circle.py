"""Circles."""

from decimal import Decimal
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.formulas.circle import PI, circumference, disc_area
from qc.engine.quantities import Quantity


def test_pi_is_at_least_as_close_as_a_float() -> None:
    assert float(PI) == pi


@pytest.mark.parametrize(
    ("diameter", "round_it", "inside"),
    [("20 mm", "62.832 mm", "314.159"), ("2 in", "6.283 in", "2026.830"), ("0 mm", "0 mm", "0")],
)
def test_circumference_and_area(diameter: str, round_it: str, inside: str) -> None:
    """Calculated: 20 mm and 2 in (50.8 mm)."""
    circle = Quantity.parse(diameter)

    way = circumference(circle)
    assert (round(float(way.magnitude), 3), way.unit) == (float(round_it.split()[0]), circle.unit)
    assert round(float(disc_area(circle).magnitude), 3) == float(inside)


@given(st.decimals("0.1", "5000", places=1))
def test_twice_the_diameter_is_twice_round_and_four_times_the_area(diameter: Decimal) -> None:
    one, two = Quantity(diameter, "mm"), Quantity(2 * diameter, "mm")

    assert circumference(two).magnitude == 2 * circumference(one).magnitude
    assert disc_area(two).magnitude == 4 * disc_area(one).magnitude
