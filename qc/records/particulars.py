"""What is said of a component, of its defect and of the design of its repair: what each may be.

The record keeps these facts as they were handed in; nothing here designs or checks a design.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from qc.engine.quantities import Dimension, InvalidQuantity, Quantity, units_of
from qc.engine.wording import quantity_text

NO_DESIGN = (
    "Design values are kept as they were handed in. This record does not design the repair: a"
    " competent engineer decides, under the owner's rules and the local code."
)
"""Stands wherever a design value is shown."""


class DefectType(StrEnum):
    """What kind of defect is repaired; its own words stand beside it."""

    EXTERNAL_CORROSION = "external_corrosion"
    INTERNAL_CORROSION = "internal_corrosion"
    THROUGH_WALL = "through_wall"
    CRACK_LIKE = "crack_like"
    DENT = "dent"
    GOUGE = "gouge"
    EROSION = "erosion"
    COATING = "coating"
    OTHER = "other"


DEFECT_TYPES: dict[str, str] = {
    DefectType.EXTERNAL_CORROSION: "External corrosion",
    DefectType.INTERNAL_CORROSION: "Internal corrosion",
    DefectType.THROUGH_WALL: "Through-wall",
    DefectType.CRACK_LIKE: "Crack-like",
    DefectType.DENT: "Dent",
    DefectType.GOUGE: "Gouge",
    DefectType.EROSION: "Erosion",
    DefectType.COATING: "Coating breakdown",
    DefectType.OTHER: "Other",
}
"""Each kind as a page prints it."""


@dataclass(frozen=True)
class Figure:
    """A column that holds a quantity as text: its label, its kind, whether it must exceed 0."""

    column: str
    label: str
    dimension: Dimension
    above_zero: bool = False


COMPONENT_FIGURES = (
    Figure("diameter", "Outside diameter", Dimension.LENGTH, above_zero=True),
    Figure("wall", "Wall thickness", Dimension.LENGTH, above_zero=True),
    Figure("temperature", "Operating temperature", Dimension.TEMPERATURE),
    Figure("pressure", "Operating pressure", Dimension.PRESSURE),
    Figure("design_temperature", "Design temperature", Dimension.TEMPERATURE),
    Figure("design_pressure", "Design pressure", Dimension.PRESSURE),
)
DEFECT_FIGURES = (
    Figure("defect_length", "Length of the defect", Dimension.LENGTH, above_zero=True),
    Figure("defect_width", "Width of the defect", Dimension.LENGTH, above_zero=True),
    Figure("defect_depth", "Depth of the defect", Dimension.LENGTH, above_zero=True),
    Figure("defect_distance", "Distance along the component", Dimension.LENGTH),
)

_CLOCK = re.compile(r"(1[0-2]|0?[1-9])(?::([0-5]\d))?", re.ASCII)
_LIFE = re.compile(r"(\d{1,3}) (years|months)", re.ASCII)
_COLDEST = Quantity(Decimal("-273.15"), "degC")


def problem_with(figure: Figure, text: str) -> str:
    """What is wrong with a figure, as a sentence that says what is allowed, or ""."""
    try:
        quantity = Quantity.parse(text, figure.dimension)
    except InvalidQuantity:
        units = ", ".join(units_of(figure.dimension))
        return f"{text[:40]!r} is no {figure.dimension} in {units}."
    if figure.above_zero and quantity.magnitude <= 0:
        return f"{quantity_text(text)} is no size: it must be more than 0."
    if figure.dimension is Dimension.TEMPERATURE and quantity < _COLDEST:
        return f"{quantity_text(text)} is below absolute zero."
    return ""


def wall_problem(diameter: str, wall: str) -> str:
    """Why a wall can't be that of a pipe of this diameter, or ""; both are lengths or ""."""
    if not diameter or not wall:
        return ""
    outside, steel = (Quantity.parse(text, Dimension.LENGTH) for text in (diameter, wall))
    if steel.magnitude_in("mm") * 2 <= outside.magnitude_in("mm"):
        return ""
    return f"{quantity_text(wall)} is more than half of the diameter, {quantity_text(diameter)}."


def clock_kept(text: str) -> str:
    """A clock position as it is kept, "6:30" for "6:30" and "6" for "06:00".

    ValueError says what is allowed.
    """
    found = _CLOCK.fullmatch(text.strip().removesuffix("o'clock").strip())
    if found is None:
        raise ValueError(f"{text[:40]} is no clock position: type 1 to 12, such as 6 or 6:30.")
    hour, minute = int(found[1]), found[2] or "00"
    return str(hour) if minute == "00" else f"{hour}:{minute}"


def life_kept(text: str) -> str:
    """A design life as it is kept: "20 years", "18 months". ValueError says what is allowed."""
    found = _LIFE.fullmatch(" ".join(text.split()))
    if found is None or int(found[1]) == 0:
        raise ValueError(f"{text[:40]} is no design life: type it such as 20 years or 18 months.")
    return found[0]


def said_problems(said: dict[str, str], figures: tuple[Figure, ...]) -> Iterator[tuple[str, str]]:
    """(column, what is wrong) for every figure that is said and makes no sense."""
    for figure in figures:
        if said[figure.column] and (problem := problem_with(figure, said[figure.column])):
            yield figure.column, f"{figure.label}: {problem}"
