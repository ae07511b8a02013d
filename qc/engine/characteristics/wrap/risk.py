"""What makes a repair one of high risk by ASME PCC-2, for information: it decides nothing here.

The article for repairs of high risk is called for where any one condition holds (ASME PCC-2:2018,
401-1.2.2, read second-hand). Its figures for the two systems of units are rounded apart, so each
value is compared in the system in which the plan states it.
"""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.wrap.criteria import TABLES
from qc.engine.quantities import Quantity, decimal_text

_RISK = TABLES["risk"]
_CONDITIONS = {
    "fluid_hazardous": "whether the fluid is hazardous",
    "safety_critical": "whether the system is critical to safety",
    "design_pressure": "design pressure",
    "design_temperature_max": "highest design temperature",
    "design_temperature_min": "lowest design temperature",
    "leak_diameter": "diameter of the leak",
}


def risk_flags(criteria: Criteria) -> list[str]:
    """The conditions that hold, and those that the plan leaves open, as far as it states any."""
    if not any(name in criteria for name in _CONDITIONS):
        return []
    reasons = high_risk(criteria)
    called = (
        f"the article for repairs of high risk is called for: {'; '.join(reasons)}"
        if reasons
        else "of the conditions that the plan states none calls for the article for high risk"
    )
    still_open = [said for name, said in _CONDITIONS.items() if name not in criteria]
    left = f"; not stated: {', '.join(still_open)}" if still_open and not reasons else ""
    return [
        f"wrap.risk: for information, {called}{left} ({_RISK['source']}); the designer, the owner "
        "and the local code decide"
    ]


def high_risk(criteria: Criteria) -> list[str]:
    """Why the repair is one of high risk; nothing where no condition that is stated holds."""
    return [reason for rule in _RULES for reason in rule(criteria)]


def _fluid(criteria: Criteria) -> list[str]:
    return ["the fluid is hazardous"] if criteria.flag("fluid_hazardous") else []


def _system(criteria: Criteria) -> list[str]:
    return ["the system is critical to safety"] if criteria.flag("safety_critical") else []


def _pressure(criteria: Criteria) -> list[str]:
    pressure, limit = criteria.quantity("design_pressure"), Quantity.parse(_RISK["pressure"])
    if pressure is None or pressure < limit:
        return []
    return [f"{pressure.printed} is {limit.printed} or more"]


def _temperature(criteria: Criteria) -> list[str]:
    hottest = criteria.quantity("design_temperature_max")
    coldest = criteria.quantity("design_temperature_min")
    reasons = []
    if hottest is not None and hottest >= (most := _figure(hottest, "hot")):
        reasons.append(f"{hottest.printed} is {most.printed} or more")
    if coldest is not None and coldest <= (least := _figure(coldest, "cold")):
        reasons.append(f"{coldest.printed} is {least.printed} or less")
    return reasons


def _leak(criteria: Criteria) -> list[str]:
    hole = criteria.quantity("leak_diameter")
    pressure, pipe = criteria.quantity("design_pressure"), criteria.quantity("diameter")
    if hole is None:
        return []
    reasons = []
    if pressure is not None and is_strong_leak(pressure, hole):
        figures = _system_of(pressure)
        reasons.append(
            f"a leak of {hole.printed} at {pressure.printed} is more than {figures['leak']} "
            f"{figures['leak_unit']}"
        )
    share = Fraction(_RISK["share_of_diameter"])
    if pipe is not None and _millimetres(hole) > share * _millimetres(pipe):
        reasons.append(
            f"a leak of {hole.printed} is more than {decimal_text(share)} times the diameter, "
            f"{pipe.printed}"
        )
    return reasons


def is_strong_leak(pressure: Quantity, hole: Quantity) -> bool:
    """Whether P * sqrt(d) exceeds the figure of the system in which the pressure is stated.

    Compared as squares, so that no root is rounded: 1.0 MPa and 25.6 mm are 0.16 exactly.
    """
    figures = _system_of(pressure)
    p = Fraction(pressure.magnitude_in(figures["pressure_unit"]))
    d = Fraction(hole.magnitude_in(figures["length_unit"]))
    return p**2 * d > Fraction(figures["leak"]) ** 2


def _figure(temperature: Quantity, name: str) -> Quantity:
    figures = _RISK["us" if temperature.unit == "degF" else "metric"]
    return Quantity.parse(figures[name])


def _system_of(pressure: Quantity) -> dict[str, Any]:
    figures: dict[str, Any] = _RISK["us" if pressure.unit == "psi" else "metric"]
    return figures


def _millimetres(length: Quantity) -> Fraction:
    return Fraction(length.magnitude_in("mm"))


_RULES: tuple[Callable[[Criteria], list[str]], ...] = (
    _fluid,
    _system,
    _pressure,
    _temperature,
    _leak,
)
