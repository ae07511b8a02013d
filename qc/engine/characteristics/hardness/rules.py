"""Judges hardness readings against a minimum or a share of the qualified minimum."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.fields import Values
from qc.engine.formulas.statistics import mean, median, product
from qc.engine.quantities import Quantity, decimal_text
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Limit,
    cannot_be_judged,
    enough_readings,
    judge_each,
)
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.hardness")


def assess_hardness(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """The verdict on all readings together, whatever their order."""
    values = [value for reading in readings for value in reading.numbers("values")]
    limits = _limits(criteria)
    findings = [
        enough_readings(
            "hardness.readings",
            len(values),
            criteria.integer("readings_min", 1),
            source=criteria.source("readings_min"),
        ),
        *_dwell_findings(criteria, readings),
        *(_judged(limit, criteria, readings, values) for limit in limits),
    ]
    if not limits:
        findings.append(
            cannot_be_judged("hardness.limit", "The plan sets neither min nor qualified_min.")
        )
    return Assessment(
        findings=tuple(findings),
        computed=_computed(values, limits),
        flags=_range_flags(criteria.text("scale"), values),
    )


def _limits(criteria: Criteria) -> list[Limit]:
    own = criteria.limit("min", "hardness.min", "Hardness", Bound.AT_LEAST)
    return [limit for limit in (own, _qualified_limit(criteria)) if limit]


def _qualified_limit(criteria: Criteria) -> Limit | None:
    qualified = criteria.number("qualified_min")
    if qualified is None:
        return None
    stated = criteria.number("fraction")
    fraction = Decimal(_TABLES["qualified"]["fraction"]) if stated is None else stated
    limit = criteria.limit(
        "qualified_min",
        "hardness.qualified_min",
        f"Hardness against {fraction} of the qualified minimum {qualified}",
        Bound.AT_LEAST,
        value=product(qualified, fraction),
    )
    if limit is None or stated is not None:
        return limit
    source = _TABLES["qualified"]["source"]
    return replace(limit, source=f"{limit.source}; fraction {fraction}: {source}")


def _judged(
    limit: Limit, criteria: Criteria, readings: Sequence[Values], values: list[Decimal]
) -> Finding:
    match criteria.text("statistic", "mean"):
        case "each":
            names = _names(readings)
            return judge_each(limit, values, "", names.__getitem__, "readings")
        case "median":
            return limit.judge(median(values), f"median of {len(values)}")
        case _:
            return limit.judge(mean(values), f"mean of {len(values)}")


def _names(readings: Sequence[Values]) -> list[str]:
    """What each value is called, in order."""
    return [
        f"{reading.text('location') or f'reading {r}'} no. {v}"
        for r, reading in enumerate(readings, 1)
        for v in range(1, len(reading.numbers("values")) + 1)
    ]


def _dwell_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    asked = criteria.quantity("dwell")
    if asked is None:
        return []
    table = _TABLES["dwell"]
    default = Quantity(Decimal(table["tolerance"]), table["unit"])
    tolerance = criteria.quantity("dwell_tolerance") or default
    problems = (
        _dwell_problem(f"Reading {i}", reading.quantity("dwell"), asked, tolerance)
        for i, reading in enumerate(readings, 1)
    )
    source = criteria.source("dwell")
    return [cannot_be_judged("hardness.dwell", text, source) for text in problems if text]


def _dwell_problem(name: str, taken: Quantity | None, asked: Quantity, tolerance: Quantity) -> str:
    if taken is None:
        return f"{name}: the dwell is not stated; the plan asks for {asked}."
    away = abs(Fraction(taken.magnitude_in("s")) - Fraction(asked.magnitude_in("s")))
    if away <= tolerance.magnitude_in("s"):
        return ""
    return (
        f"{name}: read after {taken}, the plan asks for {asked} within {tolerance}; hardness "
        f"read after another dwell cannot be compared."
    )


def _range_flags(scale: str, values: Sequence[Decimal]) -> tuple[str, ...]:
    usable = _TABLES["usable"].get(scale)
    if usable is None or not values:
        return ()
    lowest, highest = usable.get("lowest"), usable.get("highest")
    below = lowest is not None and min(values) < Decimal(lowest)
    above = highest is not None and max(values) > Decimal(highest)
    if not below and not above:
        return ()
    bound = f"below {lowest}" if below else f"above {highest}"
    return (f"hardness.range: a reading {bound} lies outside the scale's usable range; "
            f"use {usable['instead']}",)  # fmt: skip


def _computed(values: Sequence[Decimal], limits: Sequence[Limit]) -> dict[str, str | None]:
    strictest = max((v.value for v in limits if isinstance(v.value, Decimal)), default=None)
    return {
        "mean": decimal_text(mean(values)),
        "median": decimal_text(median(values)),
        "lowest": decimal_text(min(values)),
        "limit": None if strictest is None else decimal_text(strictest),
    }
