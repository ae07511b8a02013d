"""Soluble salts on steel from the conductivity of the water that took them up.

ISO 8502-9, field form: density [mg/m2] = c * V [ml] * rise [uS/cm] * 100 / A [mm2]. The constant c,
in kg m-2 S-1, depends on the salts (5 for the usual mixture, 4.624 for sodium chloride), so a
factor without volume, area and constant means nothing.
"""

from decimal import Decimal
from fractions import Fraction

from qc.engine.quantities import Quantity

_SODIUM_CHLORIDE = Fraction("58.4428")
_CHLORIDE = Fraction("35.453")


def surface_density(
    constant: Decimal, volume: Quantity, patch: Quantity, rise: Quantity
) -> Quantity:
    """The surface density in mg/m2, exact, for a `rise` in conductivity over the blank.

    `volume` of water, `patch` the area it wetted, above zero.
    """
    factor = _factor(constant, volume, patch)
    return Quantity(factor * Fraction(rise.magnitude_in("uS/cm")), "mg/m2")


def rise_for(constant: Decimal, volume: Quantity, patch: Quantity, density: Quantity) -> Quantity:
    """The rise in conductivity in uS/cm, exact, that `density` causes in so much water.

    `constant` and `volume` are above zero.
    """
    factor = _factor(constant, volume, patch)
    return Quantity(Fraction(density.magnitude_in("mg/m2")) / factor, "uS/cm")


def as_sodium_chloride(chloride: Quantity) -> Quantity:
    """The surface density in mg/m2, exact, of the sodium chloride that holds so much chloride.

    Ratio of the molar masses, 1.648: calculated. It tells how a limit on chloride and one on
    sodium chloride stand to each other, and turns no test for one into a test for the other.
    """
    found = Fraction(chloride.magnitude_in("mg/m2"))
    return Quantity(found * _SODIUM_CHLORIDE / _CHLORIDE, "mg/m2")


def _factor(constant: Decimal, volume: Quantity, patch: Quantity) -> Fraction:
    """mg/m2 for each uS/cm."""
    millilitres, square_millimetres = volume.magnitude_in("ml"), patch.magnitude_in("mm2")
    return Fraction(constant) * Fraction(millilitres) * 100 / Fraction(square_millimetres)
