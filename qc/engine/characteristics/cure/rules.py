"""Judges a cure from its temperature log."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.cure.log import Log
from qc.engine.characteristics.cure.measures import Measure
from qc.engine.characteristics.cure.reckoning import Cure, reckoned
from qc.engine.fields import Values
from qc.engine.formulas.elapsed import clock_text
from qc.engine.quantities import Quantity, decimal_text, shown, symbol_of
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Outcome,
    cannot_be_judged,
    enough_readings,
    judge_each,
)

COLDER_THAN_TABLE = "colder_than_table"
HOTTER_THAN_TABLE = "hotter_than_table"
FORECAST = "forecast"
GAP_AFTER_COMPLETION = "gap_after_completion"


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Progress of the cure by the measure of the plan, and the temperatures on the way."""
    log = Log.of(readings)
    if log.problem:
        problem = cannot_be_judged("cure.times", f"The log cannot be used: {log.problem}.")
        return Assessment(findings=(problem, *_judge_temperatures(criteria, log)))
    if len(log.moments) < 2:
        few = enough_readings("cure.readings", len(log.moments), 2)
        return Assessment(findings=(few, *_judge_temperatures(criteria, log)))
    cure = reckoned(criteria, log)
    findings = [_judge(cure, measure) for measure in cure.judged]
    return Assessment(
        findings=(*findings, *_judge_gap(cure), *_judge_temperatures(criteria, log)),
        computed=_computed(cure),
        flags=_flags(cure),
    )


def _judge(cure: Cure, measure: Measure) -> Finding:
    rule = f"cure.{measure.name}"
    progress = cure.progress(measure)
    if progress is None:
        return cannot_be_judged(rule, f"The plan lacks {measure.missing}.", measure.source)
    if measure.target is None:
        return cannot_be_judged(rule, "The plan sets no least age.", measure.source)
    reached = progress >= measure.target
    unit = symbol_of(measure.unit)
    observed = f"{shown(progress, 3, measure.target)} {unit}".strip()
    target = f"{decimal_text(measure.target)} {unit}".strip()
    said = "reached" if reached else "not reached yet"
    return Finding(
        rule=rule,
        outcome=Outcome.CONFORMS if reached else Outcome.INCOMPLETE,
        observed=observed,
        limit=f"at least {target}",
        statement=f"{measure.label} {observed}: {target} {said}.{_outlook(cure)}",
        source=measure.source,
    )


def _outlook(cure: Cure) -> str:
    complete, forecast = cure.complete_at, cure.forecast_at
    if complete is not None:
        return f" Complete at {clock_text(complete)}."
    if forecast is not None:
        last = cure.log.temperatures[-1]
        held = f"{decimal_text(last.magnitude)} {symbol_of(last.unit)}"
        return f" If {held} holds, complete at {clock_text(forecast)} (forecast)."
    return ""


def _judge_gap(cure: Cure) -> list[Finding]:
    if "gap_max" not in cure.criteria or (cure.gap and cure.complete_at):
        return []
    longest = cure.criteria.quantity("gap_max")
    source = cure.criteria.source("gap_max")
    if cure.gap is None:
        return [
            Finding(
                rule="cure.gap",
                outcome=Outcome.CONFORMS,
                limit=f"at most {longest}",
                statement=f"No two readings lie more than {longest} apart.",
                source=source,
            )
        ]
    since = cure.log.moments[len(cure.parts)]
    statement = f"No reading for {shown(cure.gap.hours, 2)} h after {since}; at most {longest}."
    return [cannot_be_judged("cure.gap", statement, source)]


def _judge_temperatures(criteria: Criteria, log: Log) -> list[Finding]:
    bounds = (("temperature_min", Bound.AT_LEAST), ("temperature_max", Bound.AT_MOST))
    limits = [
        criteria.limit(name, f"cure.{name}", "Temperature during cure", bound)
        for name, bound in bounds
    ]
    unit = log.temperatures[0].unit
    values = [temperature.magnitude_in(unit) for temperature in log.temperatures]
    return [
        judge_each(limit, values, unit, lambda i: f"at {log.moments[i]}", "readings")
        for limit in limits
        if limit
    ]


def _computed(cure: Cure) -> dict[str, Any]:
    values = {measure.name: _stored(cure.progress(measure), measure) for measure in cure.measures}
    complete, forecast = cure.complete_at, cure.forecast_at
    return {
        **values,
        "complete_at": complete.isoformat() if complete else None,
        "forecast_at": forecast.isoformat() if forecast else None,
    }


def _stored(progress: Fraction | None, measure: Measure) -> str | None:
    """Six digits, and more where six would reach a target that was missed."""
    if progress is None:
        return None
    limit = Decimal(0) if measure.target is None else measure.target
    number = Decimal(shown(progress, 6, limit))
    text = decimal_text(Fraction(number), 15)
    return str(Quantity(Decimal(text), measure.unit)) if measure.unit else text


def _flags(cure: Cure) -> tuple[str, ...]:
    flags = []
    guard = cure.guard
    if guard:
        name, how = ("guarded", "colder") if guard > 0 else ("guarded rejection", "warmer")
        flags.append(f"{name}: reckoned {decimal_text(abs(guard))} degC {how} than read")
    rows = cure.criteria.table("table")
    if rows and any(measure.name == "fraction" for measure in cure.judged):
        coldest, hottest = (Fraction(at.magnitude_in("degC")) for at, _ in (rows[0], rows[-1]))
        if any(part.colder < coldest for part in cure.parts):
            flags.append(COLDER_THAN_TABLE)
        if any(max(part.first, part.last) > hottest for part in cure.parts):
            flags.append(HOTTER_THAN_TABLE)
    if cure.gap and cure.complete_at:
        flags.append(GAP_AFTER_COMPLETION)
    if cure.forecast_at:
        flags.append(FORECAST)
    return tuple(flags)
