"""Where on a component a defect is, and whether two repairs may lie at the same place."""

from collections.abc import Iterable
from fractions import Fraction

from qc.engine.quantities import Dimension, Quantity
from qc.engine.wording import quantity_text
from qc.records.models import Repair


def size_text(repair: Repair) -> str:
    """The size of a defect: "70 mm long, 40 mm wide, 3.4 mm deep"; "" where none is said."""
    named = (("long", "length"), ("wide", "width"), ("deep", "depth"))
    sizes = [(getattr(repair, f"defect_{column}"), word) for word, column in named]
    return ", ".join(f"{quantity_text(size)} {word}" for size, word in sizes if size)


def position_text(repair: Repair) -> str:
    """Where a defect is: "1.2 m from flange F3, 5 o'clock"; "" where nothing is said."""
    distance = quantity_text(repair.defect_distance) if repair.defect_distance else ""
    along = f"{distance} {repair.defect_position}".strip()
    clock = f"{repair.defect_clock} o'clock" if repair.defect_clock else ""
    return ", ".join(part for part in (along, clock) if part)


def at_the_same_place(repair: Repair, others: Iterable[Repair]) -> list[Repair]:
    """Those of the other repairs of its component that may lie where this one does."""
    return [other for other in others if other.pk != repair.pk and may_coincide(repair, other)]


def may_coincide(one: Repair, other: Repair) -> bool:
    """True where the positions of two repairs of a component meet, as far as they are said.

    Distances count only from the same place, and meet where the lengths of the defects do. The
    clock then does not part them, since a repair goes round the pipe. Where a distance is missing,
    the same words are the same place, but for two clock positions.
    """
    if _words(one) != _words(other):
        return False
    if one.defect_distance and other.defect_distance:
        return _apart(one, other) <= (_length(one) + _length(other)) / 2
    clocks = {one.defect_clock, other.defect_clock} - {""}
    return bool(_words(one)) and len(clocks) < 2


def _words(repair: Repair) -> str:
    return " ".join(repair.defect_position.casefold().split())


def _apart(one: Repair, other: Repair) -> Fraction:
    return abs(_millimetres(one.defect_distance) - _millimetres(other.defect_distance))


def _length(repair: Repair) -> Fraction:
    return _millimetres(repair.defect_length) if repair.defect_length else Fraction(0)


def _millimetres(text: str) -> Fraction:
    return Fraction(Quantity.parse(text, Dimension.LENGTH).magnitude_in("mm"))
