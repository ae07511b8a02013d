"""What the instruments' uncertainties make of the margin above the dew point."""

from collections.abc import Sequence
from decimal import ROUND_UP, Decimal

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.ambient.air import Reading, bulbs, celsius, exact
from qc.engine.formulas.margin_uncertainty import (
    Uncertainties,
    margin_uncertainty_from_humidity,
    margin_uncertainty_from_wet_bulb,
)
from qc.engine.quantities import Dimension, Magnitude, Quantity, unit_named

_NAMES = ("air", "humidity", "wet_bulb", "steel")
_PRINTABLE = Decimal("0.001")


def margin_uncertainties(
    criteria: Criteria, readings: Sequence[Reading]
) -> tuple[float | None, ...]:
    """Expanded uncertainty of each margin in K; None where there is none to be had."""
    if not any(f"{name}_uncertainty" in criteria for name in _NAMES):
        return (None,) * len(readings)
    given = Uncertainties(**{name: _stated(criteria, name) for name in _NAMES})
    return tuple(_of_margin(reading, given) for reading in readings)


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


def limit_uncertainty(
    criteria: Criteria, limit: Quantity, rule: str, margins: Sequence[float | None]
) -> Magnitude | None:
    """The uncertainty that guards `limit`, in its unit: the instrument's, or that of the margin.

    The largest uncertainty of all margins counts, rounded up to a figure that can be printed, so
    that the guard band is never too narrow. A stated expanded uncertainty goes before it.
    """
    unit = unit_named(limit.unit, Dimension.TEMPERATURE_DIFFERENCE) or limit.unit
    if rule != "margin":
        stated = criteria.quantity(f"{rule.removesuffix('_min').removesuffix('_max')}_uncertainty")
        return None if stated is None else stated.magnitude_in(unit)
    stated = criteria.quantity("expanded_uncertainty")
    if stated is not None:
        return stated.magnitude_in(unit)
    largest = max((u for u in margins if u is not None), default=None)
    if largest is None:
        return None
    in_unit = float(Quantity(exact(largest), "delta_degC").magnitude_in(unit))
    return exact(in_unit).quantize(_PRINTABLE, rounding=ROUND_UP)
