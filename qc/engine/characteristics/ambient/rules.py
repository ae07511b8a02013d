"""Judges the air and the steel against the limits of the plan."""

from collections.abc import Sequence
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.ambient.air import Convention, Reading, read_air
from qc.engine.characteristics.ambient.flags import flags
from qc.engine.characteristics.ambient.limits import limit_findings
from qc.engine.characteristics.ambient.schedule import schedule_findings
from qc.engine.characteristics.ambient.trend import trend_findings
from qc.engine.characteristics.ambient.uncertainty import margin_uncertainties
from qc.engine.fields import Values
from qc.engine.formulas.psychrometrics import Formula
from qc.engine.rules import (
    Assessment,
    Finding,
    Outcome,
    by_reason,
    cannot_be_judged,
    enough_readings,
    listed,
)
from qc.engine.standards.tables import load_tables

_MOISTURE_SOURCE: str = load_tables("qc.engine.characteristics.ambient")["moisture"]["source"]

_FORMULA_TEXT = {
    Formula.WMO_2008: "WMO-No. 8 (2008) Annex 4.B: 6.112, 17.62, 243.12 over water; "
    "6.112, 22.46, 272.62 over ice; psychrometer constant of the AMS Glossary",
    Formula.HYLAND_WEXLER: "Hyland-Wexler 1983 as ASHRAE Fundamentals (2017) ch. 1; "
    "over ice below 0.01 °C",
}


def assess(criteria: Criteria, given: Sequence[Values]) -> Assessment:
    """Findings on every limit that the plan sets, and on what no plan allows."""
    formula = Formula(criteria.text("formula", Formula.WMO_2008))
    frost_counts = criteria.text("below_zero") != "dew_point"
    readings = read_air(given, Convention(formula=formula, frost_counts=frost_counts))
    uncertainties = margin_uncertainties(criteria, readings)
    findings = [
        *_impossible(readings),
        *limit_findings(criteria, readings, uncertainties),
        *trend_findings(criteria, readings),
        *schedule_findings(criteria, given),
        *_count(criteria, readings),
    ]
    findings += _moisture(readings, others=bool(findings))
    return Assessment(
        findings=tuple(findings),
        computed=_computed(readings, uncertainties, formula),
        flags=flags(criteria, readings),
    )


def _impossible(readings: Sequence[Reading]) -> list[Finding]:
    reasons = by_reason((r.number, r.impossible) for r in readings if r.impossible)
    return [
        cannot_be_judged(
            "ambient.reading",
            f"Reading {listed(numbers)}: {reason}. This is a data error; read again.",
        )
        for reason, numbers in reasons.items()
    ]


def _count(criteria: Criteria, readings: Sequence[Reading]) -> list[Finding]:
    if "readings_min" not in criteria:
        return []
    required, source = criteria.integer("readings_min"), criteria.source("readings_min")
    return [enough_readings("ambient.readings_min", len(readings), required, source=source)]


def _moisture(readings: Sequence[Reading], *, others: bool) -> list[Finding]:
    """Wet steel fails whatever the plan says; dry steel alone is no reason to pass."""
    wet = [r.number for r in readings if r.given.flag("moisture_visible")]
    answered = all(r.given.flag("moisture_visible") is not None for r in readings)
    if not wet and not (answered and others):
        return []
    said = f"Reading {listed(wet)}: moisture is visible" if wet else "No moisture was visible"
    return [
        Finding(
            rule="ambient.moisture",
            outcome=Outcome.DOES_NOT_CONFORM if wet else Outcome.CONFORMS,
            observed="visible" if wet else "none visible",
            limit="none visible",
            statement=f"{said} on the steel.",
            source=_MOISTURE_SOURCE,
        )
    ]


def _computed(
    readings: Sequence[Reading], uncertainties: Sequence[float | None], formula: Formula
) -> dict[str, Any]:
    airs, margins = [r.air for r in readings], [r.margin for r in readings]
    found: dict[str, Any] = {
        "dew_point": [air and _text(air.dew_point, "degC") for air in airs],
        "frost_point": [air and _text(air.frost_point, "degC") for air in airs],
        "humidity": [air and _text(air.humidity, "%") for air in airs],
        "margin": [m and _text(float(m.magnitude), "delta_degC") for m in margins],
        "formula": _FORMULA_TEXT[formula],
    }
    if any(u is not None for u in uncertainties):
        found["margin_uncertainty"] = [_text(u, "delta_degC") for u in uncertainties]
    return found


def _text(value: float | None, unit: str) -> str | None:
    """Six decimals for the record; the sign of a zero means nothing."""
    return None if value is None else f"{round(value, 6) + 0.0:.6f} {unit}"
