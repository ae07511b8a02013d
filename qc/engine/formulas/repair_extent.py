"""How far a composite repair reaches: overlap beyond the defect, axial extent, layers.

For information: the design of the repair decides. The forms are those of ISO 24817 and ASME PCC-2
as commonly quoted, from memory and to be confirmed against the licensed texts. Lengths in mm.
"""

from decimal import Context, Decimal
from fractions import Fraction
from math import ceil, floor

from qc.engine.quantities import Quantity

_CONTEXT = Context(prec=28)
_SIX_PLACES = Decimal("0.000001")


def iso_overlap(diameter: Quantity, wall: Quantity) -> Quantity:
    """2 * sqrt(D * t) in mm, to six places; D outside diameter, t nominal wall."""
    return _root(4 * _millimetres(diameter) * _millimetres(wall))


def pcc2_overlap(diameter: Quantity, wall: Quantity) -> Quantity:
    """2.5 * sqrt(D * t / 2) in mm, to six places; D outside diameter, t nominal wall."""
    return _root(Fraction("3.125") * _millimetres(diameter) * _millimetres(wall))


def axial_extent(overlap: Quantity, defect: Quantity, taper: Quantity) -> Quantity:
    """L = 2 * overlap + defect + 2 * taper, exact, in mm."""
    ends = 2 * (_millimetres(overlap) + _millimetres(taper))
    return Quantity(ends + _millimetres(defect), "mm")


def whole_millimetres(length: Quantity) -> int:
    """`length` rounded up, as a least length is."""
    return ceil(_millimetres(length))


def layers_asked(thickness: Quantity, ply: Quantity, least: int) -> int:
    """Layers that make up the design thickness, not less than `least`; `ply` is above zero."""
    return max(least, ceil(_millimetres(thickness) / _millimetres(ply)))


def layers_laid(passes: int, overlap: Fraction) -> Fraction:
    """passes / (1 - overlap) for a spiral; `overlap` is a share of the width, below 1."""
    return passes / (1 - overlap)


def layers_everywhere(passes: int, overlap: Fraction) -> int:
    """Layers at the thinnest places of a spiral: turns overlap a whole number of times only."""
    return passes * floor(1 / (1 - overlap))


def _millimetres(length: Quantity) -> Fraction:
    return Fraction(length.magnitude_in("mm"))


def _root(square: Fraction) -> Quantity:
    quotient = _CONTEXT.divide(Decimal(square.numerator), Decimal(square.denominator))
    return Quantity(_CONTEXT.sqrt(quotient).quantize(_SIX_PLACES), "mm")
