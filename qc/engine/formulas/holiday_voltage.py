"""Voltages that published formulas give for a spark test, for information only.

Standards differ, and their editions too: a test voltage is the specification's. Each formula has a
metric form and one in mils whose rounded constants differ a little; the unit of the thickness
chooses. Whole volts mean nothing more here than the constants do, so results are plain decimals.
"""

from decimal import Context, Decimal
from fractions import Fraction

from qc.engine.quantities import Quantity

_CONTEXT = Context(prec=34)
_US_UNITS = ("mil", "in", "ft")
_THICK_FROM = Quantity(Decimal(1), "mm")


def rp0274_voltage(thickness: Quantity) -> Quantity:
    """NACE RP0274: 250 V per root micrometre, or 1250 V per root mil; quoted second-hand."""
    if thickness.unit in _US_UNITS:
        return _per_root(Decimal(1250), thickness, "mil")
    return _per_root(Decimal(250), thickness, "um")


def d5162_voltage(thickness: Quantity) -> Quantity:
    """ASTM D5162, from memory: 3294 V per root millimetre (525 V per root mil) for thin coatings,
    7843 V (1250 V) above 1.00 mm. At 1.00 mm itself the lower is given.
    """
    is_thick = thickness > _THICK_FROM
    if thickness.unit in _US_UNITS:
        return _per_root(Decimal(1250 if is_thick else 525), thickness, "mil")
    return _per_root(Decimal(7843 if is_thick else 3294), thickness, "mm")


def breakdown_voltage(strength: Quantity, thickness: Quantity) -> Quantity:
    """The voltage that a sound coating of `thickness` just stands: dielectric strength times it."""
    per_millimetre = Fraction(strength.magnitude_in("kV/mm"))
    return Quantity(per_millimetre * Fraction(thickness.magnitude_in("mm")), "kV")


def _per_root(constant: Decimal, thickness: Quantity, unit: str) -> Quantity:
    size = Fraction(thickness.magnitude_in(unit))
    root = _CONTEXT.divide(Decimal(size.numerator), Decimal(size.denominator)).sqrt(_CONTEXT)
    return Quantity(Fraction(_CONTEXT.multiply(constant, root)), "V")
