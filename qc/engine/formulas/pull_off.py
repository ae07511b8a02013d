"""Pull-off strength: the stress under a round dolly."""

from fractions import Fraction

from qc.engine.quantities import Quantity

PI = Fraction("3.1415926535897932384626433832795028841971693993751")
"""To 50 digits: closer than any reading, and the same on every machine."""


def pull_off_strength(force: Quantity, diameter: Quantity) -> Quantity:
    """`4 F / (pi d^2)` in MPa, with F in newtons and d, above zero, in millimetres.

    The mean stress over the face of the dolly, as ISO 4624 and ASTM D4541 take it.
    """
    newtons = Fraction(force.magnitude_in("N"))
    millimetres = Fraction(diameter.magnitude_in("mm"))
    return Quantity(4 * newtons / (PI * millimetres**2), "MPa")
