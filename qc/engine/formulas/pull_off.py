"""Pull-off strength: the stress under a round dolly."""

from fractions import Fraction

from qc.engine.formulas.circle import disc_area
from qc.engine.quantities import Quantity


def pull_off_strength(force: Quantity, diameter: Quantity) -> Quantity:
    """`4 F / (pi d^2)` in MPa; the diameter is above zero.

    The mean stress over the face of the dolly, as ISO 4624 and ASTM D4541 take it.
    """
    face = Fraction(disc_area(diameter).magnitude)
    return Quantity(Fraction(force.magnitude_in("N")) / face, "MPa")
