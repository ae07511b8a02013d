"""Judges the air and the steel against the limits of the plan."""

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.ambient.air import Reading, read_air
from qc.engine.characteristics.ambient.schedule import schedule_findings
from qc.engine.fields import Values
from qc.engine.formulas.psychrometrics import Formula
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Outcome,
    cannot_be_judged,
    judge_several,
    listed,
)
from qc.engine.standards.tables import load_tables

_ON_THE_LIMIT = Fraction(
    load_tables("qc.engine.characteristics.ambient")["margin"]["on_the_limit_k"]
)
"""In kelvin."""

_FORMULA_TEXT = {
    Formula.WMO_2008: "WMO-No. 8 (2008) Annex 4.B: 6.112, 17.62, 243.12 over water; "
    "6.112, 22.46, 272.62 over ice; psychrometer constant of the AMS Glossary",
    Formula.HYLAND_WEXLER: "Hyland-Wexler 1983 as ASHRAE Fundamentals (2017) ch. 1; "
    "over ice below 0.01 °C",
}


def assess(criteria: Criteria, given: Sequence[Values]) -> Assessment:
    """Findings on every limit that the plan sets, and on what no plan allows."""
    formula = Formula(criteria.text("formula", Formula.WMO_2008))
    readings = read_air(given, formula)
    findings = [
        *_impossible(readings),
        *_limits(criteria, readings),
        *_rising(criteria, readings),
        *schedule_findings(criteria, given),
    ]
    findings += _moisture(readings, others=bool(findings))
    flags = [flag for reading in readings for flag in reading.flags]
    if _on_the_limit(criteria, readings):
        flags.append("on_the_limit")
    return Assessment(
        findings=tuple(findings),
        computed=_computed(readings, formula),
        flags=tuple(dict.fromkeys(flags)),
    )


def _impossible(readings: Sequence[Reading]) -> list[Finding]:
    reasons: dict[str, list[int]] = {}
    for reading in readings:
        if reading.impossible:
            reasons.setdefault(reading.impossible, []).append(reading.number)
    return [
        cannot_be_judged(
            "ambient.reading",
            f"Reading {listed(numbers)}: {reason}. This is a data error; read again.",
        )
        for reason, numbers in reasons.items()
    ]


_Observe = Callable[[Reading], Quantity | None]

_LIMITS: tuple[tuple[str, str, str, Bound, _Observe], ...] = (
    (
        "margin_min",
        "margin",
        "Margin of the steel above the dew point",
        Bound.AT_LEAST,
        lambda r: r.margin,
    ),
    ("humidity_max", "humidity", "Relative humidity", Bound.AT_MOST, lambda r: r.humidity),
    (
        "air_min",
        "air_min",
        "Air temperature",
        Bound.AT_LEAST,
        lambda r: r.given.quantity("air"),
    ),
    ("air_max", "air_max", "Air temperature", Bound.AT_MOST, lambda r: r.given.quantity("air")),
    ("steel_min", "steel_min", "Coldest steel", Bound.AT_LEAST, lambda r: r.coldest),
    ("steel_max", "steel_max", "Warmest steel", Bound.AT_MOST, lambda r: r.warmest),
)


def _limits(criteria: Criteria, readings: Sequence[Reading]) -> list[Finding]:
    findings: list[Finding] = []
    for name, rule, label, bound, observe in _LIMITS:
        limit = criteria.limit(name, rule=f"ambient.{rule}", label=label, bound=bound)
        if limit is None:
            continue
        seen = [(r.number, value) for r in readings if (value := observe(r)) is not None]
        judged = judge_several(limit, seen)
        lacking = [r for r in readings if observe(r) is None and not r.impossible]
        findings += [judged] if judged else []
        findings += _lacking(limit.rule, lacking, limit.source)
    return findings


def _lacking(rule: str, readings: Sequence[Reading], source: str) -> list[Finding]:
    if not readings:
        return []
    what = _what_is_missing(rule, readings[0])
    numbers = listed([reading.number for reading in readings])
    return [cannot_be_judged(rule, f"Reading {numbers}: {what} is missing.", source)]


def _what_is_missing(rule: str, reading: Reading) -> str:
    if rule in ("ambient.margin", "ambient.humidity") and reading.missing:
        return reading.missing
    if rule.startswith("ambient.air"):
        return "the air temperature"
    return "the steel temperature"


def _rising(criteria: Criteria, readings: Sequence[Reading]) -> list[Finding]:
    """The trend as the inspector saw it at the last reading, else by the last two margins."""
    if not criteria.flag("rising_required"):
        return []
    ordered = _in_time(readings)
    seen = ordered[-1].given.flag("rising")
    if seen is None:
        return [_rising_by_margins(ordered, criteria.source("rising_required"))]
    return [_trend(seen, "as the inspector saw it", criteria.source("rising_required"))]


def _rising_by_margins(readings: Sequence[Reading], source: str) -> Finding:
    margins = [reading.margin for reading in readings[-2:]]
    if len(margins) < 2:
        statement = "One reading shows no trend: take a second, or state what was seen."
        return Finding(
            rule="ambient.rising", outcome=Outcome.INCOMPLETE, statement=statement, source=source
        )
    before, last = margins
    if before is None or last is None:
        return cannot_be_judged(
            "ambient.rising", "The last two readings give no two margins to compare.", source
        )
    return _trend(last > before, "by the last two readings", source)


def _trend(rising: bool, how: str, source: str) -> Finding:
    return Finding(
        rule="ambient.rising",
        outcome=Outcome.CONFORMS if rising else Outcome.DOES_NOT_CONFORM,
        observed="rising" if rising else "not rising",
        limit="rising",
        statement=f"The margin above the dew point is {'' if rising else 'not '}rising, {how}.",
        source=source,
    )


def _in_time(readings: Sequence[Reading]) -> list[Reading]:
    """By the time taken; as given where a reading has none."""
    if any(reading.given.moment("at") is None for reading in readings):
        return list(readings)
    return sorted(readings, key=lambda r: r.given.moment("at").timestamp())  # type: ignore[union-attr]


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
            source="IMO guideline on blasting conditions, 3.3: not on wet surfaces",
        )
    ]


def _on_the_limit(criteria: Criteria, readings: Sequence[Reading]) -> bool:
    limit = criteria.quantity("margin_min")
    if limit is None:
        return False
    least = Fraction(limit.magnitude_in("delta_degC"))
    margins = [Fraction(r.margin.magnitude) for r in readings if r.margin is not None]
    return any(abs(margin - least) < _ON_THE_LIMIT for margin in margins)


def _computed(readings: Sequence[Reading], formula: Formula) -> dict[str, Any]:
    airs, margins = [r.air for r in readings], [r.margin for r in readings]
    return {
        "dew_point": [air and _text(air.dew_point, "degC") for air in airs],
        "frost_point": [air and _text(air.frost_point, "degC") for air in airs],
        "humidity": [air and _text(air.humidity, "%") for air in airs],
        "margin": [m and _text(float(m.magnitude), "delta_degC") for m in margins],
        "formula": _FORMULA_TEXT[formula],
    }


def _text(value: float | None, unit: str) -> str | None:
    """Six decimals for the record; the sign of a zero means nothing."""
    return None if value is None else f"{round(value, 6) + 0.0:.6f} {unit}"
