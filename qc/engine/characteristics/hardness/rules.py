"""Judges hardness readings against a minimum or a share of the qualified minimum."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.hardness.counts import count_finding
from qc.engine.characteristics.hardness.pencil import judge_pencil, lowest_grade, pencil_flags
from qc.engine.characteristics.hardness.validity import comparability, comparable, validity_flags
from qc.engine.fields import Values
from qc.engine.formulas.statistics import mean, median, product
from qc.engine.quantities import decimal_text
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Limit,
    Outcome,
    cannot_be_judged,
    judge_each,
    listed,
)
from qc.engine.standards.tables import load_tables

_QUALIFIED = load_tables("qc.engine.characteristics.hardness")["qualified"]
_Numbered = tuple[int, Values]


def assess_hardness(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """The verdict on all comparable readings together, whatever their order."""
    if criteria.text("scale") == "pencil":
        return _assess_pencil(criteria, readings)
    used = comparable(criteria, readings)
    values = [value for _, reading in used for value in reading.numbers("values")]
    limits = _limits(criteria)
    findings = [
        count_finding(criteria, values, len(values)),
        *_without("values", readings),
        *comparability(criteria, readings),
    ]
    if not limits:
        said = "The plan sets neither min nor qualified_min."
        findings.append(cannot_be_judged("hardness.limit", said))
    if values:
        findings += [_judged(limit, criteria, used, values) for limit in limits]
    flags = validity_flags(criteria, readings, values)
    return Assessment(
        findings=tuple(findings),
        computed=_computed(values, limits),
        flags=(*flags, *_soft_places(limits, used)),
    )


def _assess_pencil(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    used = comparable(criteria, readings)
    grades = [grade for _, reading in used for grade in reading.texts("grades")]
    judged = judge_pencil(criteria, grades)
    findings = [
        count_finding(criteria, (), len(grades)),
        *_without("grades", readings),
        *comparability(criteria, readings),
        *([judged] if judged else []),
    ]
    return Assessment(
        findings=tuple(findings),
        computed={"lowest_grade": lowest_grade(grades)},
        flags=(*pencil_flags(grades), *validity_flags(criteria, readings, ())),
    )


def _without(name: str, readings: Sequence[Values]) -> list[Finding]:
    empty = [i for i, reading in enumerate(readings, 1) if name not in reading]
    said = f"Reading {listed(empty)}: no {name} are given."
    return [cannot_be_judged("hardness.data", said)] if empty else []


def _limits(criteria: Criteria) -> list[Limit]:
    own = criteria.limit("min", "hardness.min", "Hardness", Bound.AT_LEAST)
    return [limit for limit in (own, _qualified_limit(criteria)) if limit]


def _qualified_limit(criteria: Criteria) -> Limit | None:
    qualified = criteria.number("qualified_min")
    if qualified is None:
        return None
    stated = criteria.number("fraction")
    fraction = Decimal(_QUALIFIED["fraction"]) if stated is None else stated
    limit = criteria.limit(
        "qualified_min",
        "hardness.qualified_min",
        f"Hardness against {fraction} of the qualified minimum {qualified}",
        Bound.AT_LEAST,
        value=product(qualified, fraction),
    )
    if limit is None or stated is not None:
        return limit
    return replace(limit, source=f"{limit.source}; fraction {fraction}: {_QUALIFIED['source']}")


def _judged(
    limit: Limit, criteria: Criteria, used: Sequence[_Numbered], values: list[Decimal]
) -> Finding:
    match criteria.text("statistic", "mean"):
        case "each":
            names = _names(used)
            return judge_each(limit, values, "", names.__getitem__, "readings")
        case "median":
            return limit.judge(median(values), f"median of {len(values)}")
        case _:
            return limit.judge(mean(values), f"mean of {len(values)}")


def _names(used: Sequence[_Numbered]) -> list[str]:
    """What each value is called, in order."""
    return [
        f"{_place(reading, r)} value {v}"
        for r, reading in used
        for v in range(1, len(reading.numbers("values")) + 1)
    ]


def _place(reading: Values, number: int) -> str:
    return reading.text("location") or f"reading {number}"


def _soft_places(limits: Sequence[Limit], used: Sequence[_Numbered]) -> list[str]:
    """Places whose own mean fails, which the statistic of all readings can hide."""
    means: list[tuple[str, Fraction]] = [
        (_place(reading, i), mean(reading.numbers("values")))
        for i, reading in used
        if "values" in reading
    ]
    soft = [
        name
        for name, own in means
        if any(limit.judge(own).outcome is not Outcome.CONFORMS for limit in limits)
    ]
    if not soft or len(means) == 1:
        return []
    return [f"hardness.soft_place: the mean of {listed(soft)} alone does not reach the limit"]


def _computed(values: Sequence[Decimal], limits: Sequence[Limit]) -> dict[str, str | None]:
    strictest = max((v.value for v in limits if isinstance(v.value, Decimal)), default=None)
    return {
        "mean": decimal_text(mean(values)) if values else None,
        "median": decimal_text(median(values)) if values else None,
        "lowest": decimal_text(min(values)) if values else None,
        "limit": None if strictest is None else decimal_text(strictest),
    }
