"""How uncertain the margin above the dew point is, from the uncertainties of the instruments.

Closed form by the Magnus formula of WMO-No. 8 (2008); temperatures in degC or K, humidity in %,
pressures in hPa, plain floats. All uncertainties at one level of confidence, errors independent:
an error that air and steel thermometer share would largely cancel, so this errs to the safe side.
"""

from dataclasses import dataclass
from math import hypot

from qc.engine.formulas.psychrometer import psychrometer_slopes
from qc.engine.formulas.saturation import OVER_ICE, OVER_WATER, Magnus, magnus_pressure


@dataclass(frozen=True, kw_only=True)
class Uncertainties:
    """Of air and steel temperature and wet bulb in K, of humidity in % relative humidity."""

    air: float = 0.0
    humidity: float = 0.0
    wet_bulb: float = 0.0
    steel: float = 0.0


def slopes_from_humidity(
    air_c: float, humidity: float, point_c: float, phase: Magnus = OVER_WATER
) -> tuple[float, float]:
    """(dT/dair, dT/dhumidity) of the dew or frost point `point_c`: K per K, K per %."""
    by_log_pressure = _by_log_pressure(point_c, phase)
    by_air = OVER_WATER.beta * OVER_WATER.lam / (OVER_WATER.lam + air_c) ** 2
    return by_log_pressure * by_air, by_log_pressure / humidity


def _by_log_pressure(point_c: float, phase: Magnus) -> float:
    """Change of the saturation temperature with the logarithm of the vapour pressure, in K."""
    return (phase.lam + point_c) ** 2 / (phase.beta * phase.lam)


def margin_uncertainty_from_humidity(
    air_c: float, humidity: float, point_c: float, given: Uncertainties, *, frost: bool = False
) -> float:
    """Uncertainty of steel less dew (or frost) point, in K, with a hygrometer."""
    by_air, by_humidity = slopes_from_humidity(air_c, humidity, point_c, _phase(frost))
    return hypot(given.steel, by_air * given.air, by_humidity * given.humidity)


def margin_uncertainty_from_wet_bulb(
    bulbs: tuple[float, float, float, bool],
    point_c: float,
    given: Uncertainties,
    *,
    frost: bool = False,
) -> float:
    """The same with a psychrometer; `bulbs` are air, wet bulb, air pressure, and ice on it."""
    phase = _phase(frost)
    by_pressure = _by_log_pressure(point_c, phase) / magnus_pressure(point_c, phase)
    by_air, by_wet_bulb = psychrometer_slopes(*bulbs)
    return hypot(
        given.steel, by_pressure * by_air * given.air, by_pressure * by_wet_bulb * given.wet_bulb
    )


def _phase(frost: bool) -> Magnus:
    return OVER_ICE if frost else OVER_WATER
