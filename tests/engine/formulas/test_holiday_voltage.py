"""Voltages by published formulas, for information."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.formulas.holiday_voltage import (
    breakdown_voltage,
    d5162_voltage,
    rp0274_voltage,
)
from qc.engine.quantities import Quantity


def volts(quantity: Quantity) -> float:
    return float(quantity.magnitude_in("V"))


@pytest.mark.parametrize(
    ("thickness", "expected"),
    [("2 mm", 11180), ("2000 um", 11180), ("500 um", 5590), ("19.685 mil", 5546), ("16 mil", 5000)],
)
def test_rp0274_has_a_form_in_micrometres_and_one_in_mils(thickness: str, expected: int) -> None:
    """NACE RP0274 as an instrument manual quotes it: 11.18 kV for 2 mm; the others calculated."""
    assert round(volts(rp0274_voltage(Quantity.parse(thickness)))) == expected


@pytest.mark.parametrize(
    ("thickness", "expected"),
    [
        ("500 um", 2329),
        ("999.9 um", 3294),
        ("1 mm", 3294),
        ("1.0001 mm", 7843),
        ("1500 um", 9606),
        ("2 mm", 11092),
        ("16 mil", 2100),
        ("64 mil", 10000),
    ],
)
def test_d5162_has_a_formula_below_and_one_above_a_millimetre(
    thickness: str, expected: int
) -> None:
    """ASTM D5162, from memory; calculated."""
    assert round(volts(d5162_voltage(Quantity.parse(thickness)))) == expected


@pytest.mark.parametrize(("millimetres", "mils"), [(3294, 525), (7843, 1250)])
def test_the_metric_constants_are_those_in_mils(millimetres: int, mils: int) -> None:
    """The square root of 39.37 mil in a millimetre joins them."""
    assert abs(mils * 39.37**0.5 - millimetres) < 1


def test_a_coating_stands_its_dielectric_strength_times_its_thickness() -> None:
    """2 mm of 8.4 kV/mm stand 16.8 kV, as an instrument manual works it out."""
    two_millimetres = Quantity.parse("2 mm")

    assert breakdown_voltage(Quantity.parse("8.4 kV/mm"), two_millimetres) == Quantity.parse(
        "16.8 kV"
    )
    assert breakdown_voltage(Quantity.parse("400 V/mil"), Quantity.parse("20 mil")) == (
        Quantity.parse("8000 V")
    )


@given(st.decimals("1", "20000", places=1), st.decimals("1", "20000", places=1))
def test_a_thicker_coating_never_asks_for_less(one: Decimal, other: Decimal) -> None:
    thin, thick = sorted((Quantity(one, "um"), Quantity(other, "um")))

    assert rp0274_voltage(thin) <= rp0274_voltage(thick)
    assert d5162_voltage(thin) <= d5162_voltage(thick)
