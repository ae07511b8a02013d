"""Compares margin, humidity and temperatures with the limits of the plan."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.ambient.air import Reading
from qc.engine.characteristics.ambient.uncertainty import guarded_by
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Bound,
    Decision,
    Finding,
    Limit,
    by_reason,
    cannot_be_judged,
    judge_each,
    listed,
)

_Observe = Callable[[Reading], Quantity | None]


def _air(reading: Reading) -> Quantity | None:
    return reading.given.quantity("air")


_AS_READ = "compared as read, for its uncertainty is not stated"

_RULES: tuple[tuple[str, str, str, Bound, _Observe], ...] = (
    ("margin_min", "margin", "Margin above the dew point", Bound.AT_LEAST, lambda r: r.margin),
    ("humidity_max", "humidity", "Relative humidity", Bound.AT_MOST, lambda r: r.humidity),
    ("air_min", "air_min", "Air temperature", Bound.AT_LEAST, _air),
    ("air_max", "air_max", "Air temperature", Bound.AT_MOST, _air),
    ("steel_min", "steel_min", "Coldest steel", Bound.AT_LEAST, lambda r: r.coldest),
    ("steel_max", "steel_max", "Warmest steel", Bound.AT_MOST, lambda r: r.warmest),
)


def limit_findings(
    criteria: Criteria, readings: Sequence[Reading], margins: Sequence[float | None]
) -> list[Finding]:
    """A finding on each limit that the plan sets, and one on the readings that lack an input.

    `margins` are the uncertainties of the margins, in K.
    """
    findings: list[Finding] = []
    for name, rule, label, bound, observe in _RULES:
        if name == "humidity_max" and criteria.text("humidity_bound") == "below":
            bound = Bound.BELOW
        value = criteria.quantity(name)
        limit = criteria.limit(name, rule=f"ambient.{rule}", label=label, bound=bound)
        if limit is None or value is None:
            continue
        limit = guarded_by(criteria, limit, name, margins)
        findings += _judged(limit, value.unit, readings, observe)
        findings += _lacking(limit, readings, observe)
    return findings


def _judged(
    limit: Limit, unit: str, readings: Sequence[Reading], observe: _Observe
) -> list[Finding]:
    seen = [(r.number, value) for r in readings if (value := observe(r)) is not None]
    if not seen:
        return []
    values = [value.magnitude_in(unit) for _, value in seen]
    found = judge_each(limit, values, unit, lambda i: f"reading {seen[i][0]}", "readings")
    if limit.decision is Decision.SIMPLE or limit.uncertainty is not None:
        return [found]
    return [replace(found, flags=(*found.flags, f"{limit.rule}: {_AS_READ}"))]


def _lacking(limit: Limit, readings: Sequence[Reading], observe: _Observe) -> list[Finding]:
    lacking = [r for r in readings if observe(r) is None and not r.impossible]
    missing = by_reason((r.number, _what_is_missing(limit.rule, r)) for r in lacking)
    return [
        cannot_be_judged(limit.rule, f"Reading {listed(numbers)}: {what} is missing.", limit.source)
        for what, numbers in missing.items()
    ]


def _what_is_missing(rule: str, reading: Reading) -> str:
    if rule in ("ambient.margin", "ambient.humidity") and reading.missing:
        return reading.missing
    return "the air temperature" if rule.startswith("ambient.air") else "the steel temperature"
