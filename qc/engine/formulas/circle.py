"""Lengths round a circle and areas inside it, exact to far more digits than any reading has."""

from fractions import Fraction

from qc.engine.quantities import Quantity

PI = Fraction("3.1415926535897932384626433832795028841971693993751")
"""To 50 digits, and the same on every machine."""


def circumference(diameter: Quantity) -> Quantity:
    """`pi d`, in the unit of the diameter."""
    return Quantity(PI * Fraction(diameter.magnitude), diameter.unit)


def disc_area(diameter: Quantity) -> Quantity:
    """`pi d^2 / 4` in mm2."""
    millimetres = Fraction(diameter.magnitude_in("mm"))
    return Quantity(PI * millimetres**2 / 4, "mm2")
