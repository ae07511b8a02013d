"""The size and place of a defect in words, and whether two repairs may lie at the same place."""

from collections.abc import Iterable, Mapping
from fractions import Fraction

from qc.engine.quantities import Dimension, Quantity
from qc.engine.wording import quantity_text
from qc.records.models import Repair

Details = Mapping[str, str]
"""What is said of a defect: type, length, width, depth, distance, clock, position; "" unsaid."""

_DETAILS = ("type", "length", "width", "depth", "distance", "clock", "position")


def details_of(repair: Repair) -> Details:
    """What is said of the defect of a repair."""
    return {name: getattr(repair, f"defect_{name}") for name in _DETAILS}


def size_text(defect: Details) -> str:
    """The size of a defect: "70 mm long, 40 mm wide, 3.4 mm deep"; "" where none is said."""
    named = (("length", "long"), ("width", "wide"), ("depth", "deep"))
    return ", ".join(
        f"{quantity_text(defect[name])} {word}" for name, word in named if defect[name]
    )


def position_text(defect: Details) -> str:
    """Where a defect is: "1.2 m from flange F3, 5 o'clock"; "" where nothing is said."""
    distance = quantity_text(defect["distance"]) if defect["distance"] else ""
    along = f"{distance} {defect['position']}".strip()
    clock = f"{defect['clock']} o'clock" if defect["clock"] else ""
    return ", ".join(part for part in (along, clock) if part)


def at_the_same_place(repair: Repair, others: Iterable[Repair]) -> list[Repair]:
    """Those of the other repairs of its component that may lie where this one does."""
    here = details_of(repair)
    return [
        other for other in others if other.pk != repair.pk and may_coincide(here, details_of(other))
    ]


def may_coincide(one: Details, other: Details) -> bool:
    """True where the positions of two defects of a component meet, as far as they are said.

    Distances count only from the same place, and meet where the lengths of the defects do. The
    clock then does not part them, since a repair goes round the pipe. Where a distance is missing,
    the same words are the same place, but for two clock positions.
    """
    if _words(one) != _words(other):
        return False
    if one["distance"] and other["distance"]:
        return _apart(one, other) <= (_length(one) + _length(other)) / 2
    clocks = {one["clock"], other["clock"]} - {""}
    return bool(_words(one)) and len(clocks) < 2


def _words(defect: Details) -> str:
    return " ".join(defect["position"].casefold().split())


def _apart(one: Details, other: Details) -> Fraction:
    return abs(_millimetres(one["distance"]) - _millimetres(other["distance"]))


def _length(defect: Details) -> Fraction:
    return _millimetres(defect["length"]) if defect["length"] else Fraction(0)


def _millimetres(text: str) -> Fraction:
    return Fraction(Quantity.parse(text, Dimension.LENGTH).magnitude_in("mm"))
