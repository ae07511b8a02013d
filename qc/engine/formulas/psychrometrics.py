"""Dew point, frost point and relative humidity of the air, by a named formula.

Temperatures in degC, humidity in %, pressures in hPa, plain floats. Relative humidity is taken
over liquid water, below freezing too, which is how hygrometers are calibrated.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from math import log

from qc.engine.formulas.psychrometer import (
    humidity_ratio_vapour_pressure,
    psychrometer_vapour_pressure,
)
from qc.engine.formulas.saturation import (
    OVER_ICE,
    OVER_WATER,
    hyland_wexler_pressure,
    hyland_wexler_temperature,
    hyland_wexler_water_pressure,
    magnus_pressure,
    magnus_temperature,
)

_BETA, _LAMBDA = OVER_WATER.beta, OVER_WATER.lam


class Formula(StrEnum):
    """The saturation formula that a dew point is computed by."""

    WMO_2008 = "wmo2008"
    HYLAND_WEXLER = "hyland_wexler"


class ImpossibleAir(ValueError):
    """The readings belong to no possible state of the air; the message says why."""


@dataclass(frozen=True)
class MoistAir:
    """What the formulas say of the air: degC and %. `frost_point` is None where it has none."""

    dew_point: float
    humidity: float
    frost_point: float | None


def dew_point(air_c: float, humidity: float) -> float:
    """Dew point over water by WMO-No. 8 (2008) Annex 4.B, from 1 to 100 % humidity."""
    x = log(humidity / 100) + _BETA * air_c / (_LAMBDA + air_c)
    return _LAMBDA * x / (_BETA - x)


def hyland_wexler_dew_point(air_c: float, humidity: float) -> float:
    """Dew point as ASHRAE Fundamentals has it: all that lies below 0.01 degC is over ice.

    Below freezing this takes the humidity relative to ice as well, and gives a frost point.
    """
    return hyland_wexler_temperature(hyland_wexler_pressure(air_c) * humidity / 100)


def air_from_humidity(formula: Formula, air_c: float, humidity: float) -> MoistAir:
    """The air of a hygrometer reading, `humidity` above 0 and at most 100 %."""
    model = _MODELS[formula]
    dew = air_c if humidity == 100 else model.dew_point(air_c, humidity)
    pressure = model.water_pressure(air_c) * humidity / 100
    return MoistAir(dew, humidity, model.frost_point(pressure) if dew < 0 else None)


def air_from_wet_bulb(
    formula: Formula, air_c: float, wet_c: float, pressure_hpa: float, iced: bool
) -> MoistAir:
    """The air of a psychrometer reading. ImpossibleAir where the bulbs cannot belong together."""
    if wet_c > air_c:
        raise ImpossibleAir("the wet bulb is above the dry bulb")
    if iced and wet_c > 0:
        raise ImpossibleAir("the wet bulb is said to carry ice above 0 °C")
    model = _MODELS[formula]
    pressure = model.bulbs_pressure(air_c, wet_c, pressure_hpa, iced)
    if pressure <= 0:
        raise ImpossibleAir("the wet bulb is colder than even dry air could make it")
    saturated = wet_c == air_c and not iced
    dew = air_c if saturated else model.temperature(pressure)
    humidity = 100.0 if saturated else 100 * pressure / model.water_pressure(air_c)
    return MoistAir(dew, humidity, model.frost_point(pressure) if dew < 0 else None)


@dataclass(frozen=True)
class _Model:
    dew_point: Callable[[float, float], float]
    temperature: Callable[[float], float]
    water_pressure: Callable[[float], float]
    frost_point: Callable[[float], float]
    bulbs_pressure: Callable[[float, float, float, bool], float]


_MODELS = {
    Formula.WMO_2008: _Model(
        dew_point=dew_point,
        temperature=lambda pressure: magnus_temperature(pressure, OVER_WATER),
        water_pressure=lambda t: magnus_pressure(t, OVER_WATER),
        frost_point=lambda pressure: magnus_temperature(pressure, OVER_ICE),
        bulbs_pressure=psychrometer_vapour_pressure,
    ),
    Formula.HYLAND_WEXLER: _Model(
        dew_point=hyland_wexler_dew_point,
        temperature=hyland_wexler_temperature,
        water_pressure=hyland_wexler_water_pressure,
        frost_point=hyland_wexler_temperature,
        bulbs_pressure=humidity_ratio_vapour_pressure,
    ),
}
