"""Surface density from conductivity, both ways."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.formulas.soluble_salts import as_sodium_chloride, rise_for, surface_density
from qc.engine.quantities import Quantity

MIXED, SODIUM_CHLORIDE = Decimal(5), Decimal("4.624")
PATCH = Quantity.parse("1250 mm2")


def factor(constant: Decimal, volume: str, patch: str = "1250 mm2") -> Fraction:
    one = Quantity.parse("1 uS/cm")
    found = surface_density(constant, Quantity.parse(volume), Quantity.parse(patch), one)
    return Fraction(found.magnitude_in("mg/m2"))


@pytest.mark.parametrize(
    ("volume", "mixed", "chloride"),
    [
        ("2.5 ml", "1.0", "0.925"),
        ("3 ml", "1.2", "1.110"),
        ("10 ml", "4.0", "3.699"),
        ("15 ml", "6.0", "5.549"),
    ],
)
def test_the_factor_follows_volume_and_salts(volume: str, mixed: str, chloride: str) -> None:
    """1.2 and 1.1 for 3 ml: published on a data sheet of an extraction kit; the others calculated.

    The constant of sodium chloride is molar mass over limiting conductivity:
    58.4428e-3 kg/mol / 126.39e-4 S m2/mol.
    """
    assert factor(MIXED, volume) == Fraction(mixed)
    assert round(factor(SODIUM_CHLORIDE, volume), 3) == Fraction(chloride)
    assert round(58.4428e-3 / 126.39e-4, 3) == float(SODIUM_CHLORIDE)


@pytest.mark.parametrize(
    ("volume", "expected"), [("3 ml", 1.2245), ("10 ml", 4.0816), ("15 ml", 6.1224)]
)
def test_the_factor_follows_the_patch(volume: str, expected: float) -> None:
    """Calculated."""
    assert round(float(factor(MIXED, volume, "1225 mm2")), 4) == expected
    assert factor(MIXED, volume, "12.25 cm2") == factor(MIXED, volume, "1225 mm2")


def test_the_form_in_si_units_gives_the_same() -> None:
    """Calculated: 5 kg/(m2 S) * 15e-6 m3 * 22e-4 S/m / 1250e-6 m2 is 132e-6 kg/m2."""
    fine = Fraction(5) * Fraction(15, 10**6) * Fraction(22, 10**4) / Fraction(1250, 10**6)
    volume, rise = Quantity.parse("15 ml"), Quantity.parse("22 uS/cm")

    assert fine == Fraction(132, 10**6)
    assert surface_density(MIXED, volume, PATCH, rise) == Quantity.parse("132 mg/m2")


@pytest.mark.parametrize(("volume", "rise"), [("3 ml", 45.1), ("10 ml", 13.5), ("15 ml", 9.0)])
def test_fifty_of_sodium_chloride_cause_a_rise_that_follows_the_volume(
    volume: str, rise: float
) -> None:
    """Calculated, ideal dilution: what 50 mg/m2 may show on the meter."""
    fifty = Quantity.parse("50 mg/m2")
    found = rise_for(SODIUM_CHLORIDE, Quantity.parse(volume), PATCH, fifty)

    assert round(float(found.magnitude), 1) == rise


@pytest.mark.parametrize(
    ("volume", "per_microsiemens"), [("3 ml", "0.12"), ("15 ml", "0.6"), ("2.5 ml", "0.1")]
)
def test_a_factor_in_micrograms_belongs_to_its_volume_too(
    volume: str, per_microsiemens: str
) -> None:
    """0.12 ug/cm2 for 3 ml: published on a data sheet of an extraction kit. The 0.6 ug/cm2 that
    are quoted without a volume are those of mixed salts in 15 ml (calculated)."""
    assert factor(MIXED, volume) / 10 == Fraction(per_microsiemens)


def test_chloride_and_sodium_chloride_stand_as_their_molar_masses() -> None:
    """Calculated: 3 ug/cm2 of chloride are 30 mg/m2, and 49.5 mg/m2 as sodium chloride."""
    found = as_sodium_chloride(Quantity.parse("3 ug/cm2"))

    assert round(float(found.magnitude_in("mg/m2")), 1) == 49.5
    assert as_sodium_chloride(Quantity.parse("30 mg/m2")) == found
    assert round(float(as_sodium_chloride(Quantity.parse("1 mg/m2")).magnitude), 3) == 1.648


positive = st.decimals("0.1", "500", places=2)


@given(positive, positive, st.decimals(100, 5000, places=1), st.decimals(0, 500, places=2))
def test_there_and_back_is_exact(
    constant: Decimal, millilitres: Decimal, patch: Decimal, rise: Decimal
) -> None:
    volume, area = Quantity(millilitres, "ml"), Quantity(patch, "mm2")
    density = surface_density(constant, volume, area, Quantity(rise, "uS/cm"))

    assert rise_for(constant, volume, area, density) == Quantity(rise, "uS/cm")
