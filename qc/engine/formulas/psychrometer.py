"""Vapour pressure of the air from a dry and a wet bulb; station pressure from altitude.

Temperatures in degC, pressures in hPa, plain floats.
"""

from qc.engine.formulas.saturation import (
    OVER_ICE,
    OVER_WATER,
    hyland_wexler_pressure,
    hyland_wexler_water_pressure,
    magnus_pressure,
)

_COEFFICIENT_WATER = 6.60e-4
_COEFFICIENT_ICE = 5.82e-4
_WITH_WET_BULB = 0.00115
_MOLAR_RATIO = 0.621945


def psychrometer_vapour_pressure(
    air_c: float, wet_c: float, pressure_hpa: float, iced: bool
) -> float:
    """Vapour pressure in hPa, at or below 0 where the two bulbs cannot belong together.

    `e = es(tw) - A p (t - tw)` with `A = 0.00066 (1 + 0.00115 tw)` per kelvin over water, and
    0.000582 in place of 0.00066 where the bulb carries ice: psychrometric formula of the AMS
    Glossary of Meteorology (constants as read there; the factor in tw as read at a university
    weather network). `es` is that of WMO-No. 8 (2008).
    """
    saturated = magnus_pressure(wet_c, OVER_ICE if iced else OVER_WATER)
    constant = _COEFFICIENT_ICE if iced else _COEFFICIENT_WATER
    return saturated - constant * (1 + _WITH_WET_BULB * wet_c) * pressure_hpa * (air_c - wet_c)


def psychrometer_slopes(
    air_c: float, wet_c: float, pressure_hpa: float, iced: bool
) -> tuple[float, float]:
    """(de/dair, de/dwet bulb) of `psychrometer_vapour_pressure`, in hPa per kelvin."""
    phase = OVER_ICE if iced else OVER_WATER
    of_saturation = phase.beta * phase.lam / (phase.lam + wet_c) ** 2
    constant = (_COEFFICIENT_ICE if iced else _COEFFICIENT_WATER) * pressure_hpa
    grown = 1 + _WITH_WET_BULB * wet_c
    by_wet_bulb = of_saturation * magnus_pressure(wet_c, phase)
    by_wet_bulb += constant * (grown - _WITH_WET_BULB * (air_c - wet_c))
    return -constant * grown, by_wet_bulb


def humidity_ratio_vapour_pressure(
    air_c: float, wet_c: float, pressure_hpa: float, iced: bool
) -> float:
    """Vapour pressure in hPa by the energy balance of the thermodynamic wet bulb.

    ASHRAE Fundamentals (2017) ch. 1 eqs. 33 and 35 (quoted second-hand), saturation by
    Hyland-Wexler. At or below 0 where the two bulbs cannot belong together.
    """
    ratio = humidity_ratio(air_c, wet_c, pressure_hpa, iced)
    return pressure_hpa * ratio / (_MOLAR_RATIO + ratio)


def humidity_ratio(air_c: float, wet_c: float, pressure_hpa: float, iced: bool) -> float:
    """Mass of vapour to mass of dry air, from the two bulbs."""
    saturated = (hyland_wexler_pressure if iced else hyland_wexler_water_pressure)(wet_c)
    at_wet_bulb = _MOLAR_RATIO * saturated / (pressure_hpa - saturated)
    depression = 1.006 * (air_c - wet_c)
    if iced:
        latent, gain = 2830 - 0.24 * wet_c, 2830 + 1.86 * air_c - 2.1 * wet_c
    else:
        latent, gain = 2501 - 2.326 * wet_c, 2501 + 1.86 * air_c - 4.186 * wet_c
    return (latent * at_wet_bulb - depression) / gain


def standard_pressure(altitude_m: float) -> float:
    """Pressure in hPa of the standard atmosphere, -500 to 11000 m.

    ASHRAE Fundamentals (2017) ch. 1 eq. 3 (quoted second-hand).
    """
    return 1013.25 * float((1 - 2.25577e-5 * altitude_m) ** 5.2559)
