"""What the instruments' uncertainties make of the margin above the dew point."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import ROUND_DOWN, ROUND_UP, Decimal

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.ambient.air import Reading, bulbs, celsius, exact
from qc.engine.formulas.margin_uncertainty import (
    Uncertainties,
    margin_uncertainty_from_humidity,
    margin_uncertainty_from_wet_bulb,
)
from qc.engine.quantities import Dimension, Magnitude, Quantity, unit_named
from qc.engine.rules import Decision, Limit

_NAMES = ("air", "humidity", "wet_bulb", "steel")
PARTS = 3
"""Instruments that a margin rests on: for the air, its moisture, and the steel."""
_PRINTABLE = Decimal("0.001")


def margin_uncertainties(
    criteria: Criteria, readings: Sequence[Reading]
) -> tuple[float | None, ...]:
    """Expanded uncertainty of each margin in K; None where there is none to be had."""
    given = Uncertainties(**{name: _stated(criteria, name) for name in _NAMES})
    return tuple(
        _of_margin(reading, given) if len(unstated(criteria, reading)) < PARTS else None
        for reading in readings
    )


def _parts(reading: Reading) -> tuple[str, ...]:
    """The instruments whose uncertainties make that of the reading's margin."""
    return ("air", "wet_bulb" if "wet_bulb" in reading.given else "humidity", "steel")


def unstated(criteria: Criteria, reading: Reading) -> list[str]:
    """Those of these instruments of which the plan states no uncertainty: they count as exact."""
    return [name for name in _parts(reading) if f"{name}_uncertainty" not in criteria]


def _stated(criteria: Criteria, name: str) -> float:
    stated = criteria.quantity(f"{name}_uncertainty")
    if stated is None:
        return 0.0
    return float(stated.magnitude_in("%" if name == "humidity" else "delta_degC"))


def _of_margin(reading: Reading, given: Uncertainties) -> float | None:
    air, dry = reading.air, reading.given.quantity("air")
    if air is None or dry is None or reading.margin is None or reading.point is None:
        return None
    point, frost = float(reading.point), reading.by_frost
    if "wet_bulb" in reading.given:
        return margin_uncertainty_from_wet_bulb(bulbs(reading.given), point, given, frost=frost)
    return margin_uncertainty_from_humidity(celsius(dry), air.humidity, point, given, frost=frost)


def guarded_by(
    criteria: Criteria, limit: Limit, name: str, margins: Sequence[float | None]
) -> Limit:
    """`limit`, which criterion `name` sets, with the uncertainty of what is compared with it.

    For the margin a stated expanded uncertainty goes before what the instruments make of it; for
    humidity and temperatures the instrument's own goes before the expanded uncertainty, which is
    taken for a temperature too.
    """
    if name == "margin_min":
        known = limit.uncertainty
        return replace(limit, uncertainty=_of_margins(limit, margins) if known is None else known)
    stated = criteria.quantity(f"{_instrument(name)}_uncertainty")
    if stated is None or not isinstance(limit.value, Quantity):
        return limit
    return replace(limit, uncertainty=stated.magnitude_in(_difference_unit(limit.value)))


def _instrument(name: str) -> str:
    return name.removesuffix("_min").removesuffix("_max")


def _difference_unit(limit: Quantity) -> str:
    return unit_named(limit.unit, Dimension.TEMPERATURE_DIFFERENCE) or limit.unit


def _of_margins(limit: Limit, margins: Sequence[float | None]) -> Magnitude | None:
    """The largest of `margins`, rounded to a figure that can be printed.

    Rounded up, so that a guard band is never too narrow; down where rejection is guarded.
    """
    largest = max((u for u in margins if u is not None), default=None)
    if largest is None or not isinstance(limit.value, Quantity):
        return None
    in_unit = float(Quantity(exact(largest), "delta_degC").magnitude_in(limit.value.unit))
    widened = limit.decision is Decision.GUARDED_REJECTION
    return exact(in_unit).quantize(_PRINTABLE, rounding=ROUND_DOWN if widened else ROUND_UP)
