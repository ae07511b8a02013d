"""Saturation vapour pressure of water and its inverse, by the WMO form and by Hyland-Wexler.

Temperatures in degC, pressures in hPa, plain floats: these run once a reading and more often in a
simulation. Every function returns a finite number for 1 to 100 % humidity at -45 to 60 degC.
"""

from math import exp, log
from typing import NamedTuple

KELVIN = 273.15
TRIPLE_POINT_C = 0.01


class Magnus(NamedTuple):
    """Coefficients of `alpha * exp(beta * t / (lam + t))`: hPa, 1, degC."""

    alpha: float
    beta: float
    lam: float


OVER_WATER = Magnus(6.112, 17.62, 243.12)
"""WMO-No. 8 (2008) Annex 4.B, over liquid water, -45 to 60 degC (quoted second-hand)."""

OVER_ICE = Magnus(6.112, 22.46, 272.62)
"""WMO-No. 8 (2008) Annex 4.B, over ice, -65 to 0 degC (quoted second-hand)."""


def magnus_pressure(t_c: float, phase: Magnus) -> float:
    """Saturation vapour pressure in hPa at `t_c`."""
    return phase.alpha * exp(phase.beta * t_c / (phase.lam + t_c))


def magnus_temperature(pressure_hpa: float, phase: Magnus) -> float:
    """The temperature at which `pressure_hpa` (above 0) saturates: the inverse, closed form."""
    x = log(pressure_hpa / phase.alpha)
    return phase.lam * x / (phase.beta - x)


class _HylandWexler(NamedTuple):
    """`ln p = inverse/T + c0 + c1 T + c2 T^2 + c3 T^3 + c4 T^4 + logarithm ln T`, Pa and K."""

    inverse: float
    c0: float
    c1: float
    c2: float
    c3: float
    c4: float
    logarithm: float

    def log_pressure(self, t_k: float) -> float:
        series = self.c0 + t_k * (self.c1 + t_k * (self.c2 + t_k * (self.c3 + t_k * self.c4)))
        return self.inverse / t_k + series + self.logarithm * log(t_k)

    def slope(self, t_k: float) -> float:
        series = self.c1 + t_k * (2 * self.c2 + t_k * (3 * self.c3 + t_k * 4 * self.c4))
        return (self.logarithm - self.inverse / t_k) / t_k + series


_HW_WATER = _HylandWexler(
    -5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673
)
_HW_ICE = _HylandWexler(
    -5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019
)


def hyland_wexler_pressure(t_c: float) -> float:
    """Saturation vapour pressure in hPa: over ice up to the triple point, over water above.

    Hyland and Wexler 1983, as ASHRAE Fundamentals (2017) ch. 1 eqs. 5 and 6 (quoted second-hand).
    The change at the triple point rather than at 0 degC leaves no step for the inverse to miss.
    """
    return _pressure(_HW_ICE if t_c <= TRIPLE_POINT_C else _HW_WATER, t_c)


def hyland_wexler_water_pressure(t_c: float) -> float:
    """The same over liquid water at any temperature, below freezing by extrapolation."""
    return _pressure(_HW_WATER, t_c)


def _pressure(phase: _HylandWexler, t_c: float) -> float:
    return exp(phase.log_pressure(t_c + KELVIN)) / 100


_TRIPLE_PRESSURE_HPA = hyland_wexler_pressure(TRIPLE_POINT_C)


def hyland_wexler_temperature(pressure_hpa: float) -> float:
    """The temperature at which `pressure_hpa` (above 0) saturates: dew point, frost point below 0.

    Newton's method on ln p, which is all but straight in 1/T: it settles in three or four steps.
    """
    frozen = pressure_hpa <= _TRIPLE_PRESSURE_HPA
    phase = _HW_ICE if frozen else _HW_WATER
    start = magnus_temperature(pressure_hpa, OVER_ICE if frozen else OVER_WATER)
    return _newton(phase, log(pressure_hpa * 100), start + KELVIN) - KELVIN


def _newton(phase: _HylandWexler, target: float, t_k: float) -> float:
    for _ in range(20):
        step = (phase.log_pressure(t_k) - target) / phase.slope(t_k)
        t_k -= step
        if abs(step) < 1e-9:
            break
    return t_k
