"""What each kind of instrument measures, and how its figures are read."""

from collections.abc import Mapping
from decimal import Decimal
from enum import Enum

from qc.engine.fields import InvalidValue
from qc.engine.quantities import (
    Dimension,
    InvalidQuantity,
    Quantity,
    parse_decimal,
    units_of,
)

Figure = Quantity | Decimal
"""A quantity; a plain number for a hardness tester, whose scale has no unit."""

_D = Dimension
_MEASURED: Mapping[str, tuple[Dimension, ...]] = {
    "barcol_impressor": (),
    "barometer": (_D.PRESSURE,),
    "caliper": (_D.LENGTH,),
    "comparator": (_D.LENGTH,),
    "conductivity_meter": (_D.CONDUCTIVITY,),
    "data_logger": (_D.TEMPERATURE, _D.PRESSURE, _D.SHARE),
    "depth_gauge": (_D.LENGTH,),
    "durometer": (),
    "holiday_detector": (_D.VOLTAGE,),
    "hygrometer": (_D.SHARE, _D.TEMPERATURE),
    "pressure_gauge": (_D.PRESSURE,),
    "profile_gauge": (_D.LENGTH,),
    "psychrometer": (_D.TEMPERATURE,),
    "pull_off_tester": (_D.PRESSURE, _D.FORCE),
    "replica_tape": (_D.LENGTH,),
    "scale": (_D.MASS,),
    "stopwatch": (_D.TIME,),
    "surface_thermometer": (_D.TEMPERATURE,),
    "thermometer": (_D.TEMPERATURE,),
    "thickness_gauge": (_D.LENGTH,),
}
"""What a kind measures, the main thing first; nothing for the plain scale of a hardness tester."""


class Part(Enum):
    """What a figure is: a value on the scale, or a width of it, as a tolerance is."""

    VALUE = "value"
    WIDTH = "width"


def has_figures(kind: str) -> bool:
    """Whether an instrument of `kind` measures at all; photographs to compare with do not."""
    return kind in _MEASURED


def dimensions_of(kind: str, part: Part = Part.VALUE) -> tuple[Dimension, ...]:
    """What an instrument of `kind` measures, the main thing first; empty where it has no unit.

    A width of a temperature scale is a difference.
    """
    measured = _MEASURED.get(kind, ())
    if part is Part.VALUE:
        return measured
    return tuple(
        _D.TEMPERATURE_DIFFERENCE if dimension is _D.TEMPERATURE else dimension
        for dimension in measured
    )


def figure_of(kind: str, part: Part, name: str, text: str) -> Figure:
    """The figure written in `text`; no width is negative.

    InvalidValue, naming the field `name`, where it is none.
    """
    if not has_figures(kind):
        raise InvalidValue(name, f"a {kind.replace('_', ' ')} reads no figures; leave this empty")
    figure = _read(dimensions_of(kind, part), name, text)
    size = figure.magnitude if isinstance(figure, Quantity) else figure
    if part is Part.WIDTH and size < 0:
        raise InvalidValue(name, f"{text.strip()} is below 0, the least allowed")
    return figure


def _read(allowed: tuple[Dimension, ...], name: str, text: str) -> Figure:
    if not allowed:
        try:
            return parse_decimal(text)
        except InvalidQuantity as refusal:
            raise InvalidValue(name, f"{refusal}; it has no unit") from None
    for dimension in allowed:
        try:
            return Quantity.parse(text, dimension)
        except InvalidQuantity:
            continue
    units = ", ".join(unit for dimension in allowed for unit in units_of(dimension))
    seen = repr(text.strip()[:40])
    raise InvalidValue(name, f"{seen} is not a number with a unit that fits (known: {units})")
