"""Pull-off strength from force and dolly."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.formulas.pull_off import pull_off_strength
from qc.engine.quantities import Quantity


@pytest.mark.parametrize(
    ("force", "diameter", "strength"),
    [("1571 N", "20 mm", "5.001"), ("2200 N", "20 mm", "7.003"), ("10000 N", "50 mm", "5.093")],
)
def test_the_strength_of_common_dollies(force: str, diameter: str, strength: str) -> None:
    """Calculated from 4 F / (pi d^2)."""
    found = pull_off_strength(Quantity.parse(force), Quantity.parse(diameter))

    assert found.unit == "MPa"
    assert round(float(found.magnitude), 3) == float(strength)


@given(st.decimals("0", "100000", places=1), st.decimals("5", "200", places=2))
def test_twice_the_dolly_takes_four_times_the_force(force: Decimal, diameter: Decimal) -> None:
    one = pull_off_strength(Quantity(force, "N"), Quantity(diameter, "mm"))
    other = pull_off_strength(Quantity(4 * force, "N"), Quantity(2 * diameter, "mm"))

    assert one == other
