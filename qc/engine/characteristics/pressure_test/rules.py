"""Judges a pressure test: pressure reached and held, for long enough, without leak or drop."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.pressure_test.hold import HELD, Hold, Point, hold_of, points_of
from qc.engine.fields import InvalidValue, Values
from qc.engine.formulas.statistics import scaled
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Limit,
    Outcome,
    cannot_be_judged,
    ended,
    listed,
)
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.pressure_test")
_FACTOR, _HOLD = _TABLES["factor"], _TABLES["defaults"]["hold_min"]
_RECORDED = _TABLES["recorded"]["source"]


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue for a factor of nothing, and for a test pressure above the highest allowed."""
    if "factor" in criteria and "design_pressure" not in criteria:
        raise InvalidValue(f"{path}.factor", "multiplies design_pressure, which is not given")
    tested, most = _from_design(criteria), criteria.quantity("pressure_max")
    if tested is not None and most is not None and tested > most:
        said = f"the test pressure, {tested}, is above pressure_max, {most}"
        raise InvalidValue(f"{path}.design_pressure", said)


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """The verdict on all readings together, in the order of time whatever order they stand in."""
    points = points_of(readings)
    hold = hold_of(points)
    limits = _pressure_limits(criteria)
    return Assessment(
        findings=(
            *([] if limits else [_no_limit()]),
            *_leaks(points, hold),
            *_highest(criteria, points),
            *(_held(criteria, hold, limits) if hold else [_not_held()]),
            *_interrupted(points, hold),
        ),
        computed=_computed(points, hold, limits),
        flags=_flags(criteria),
    )


def _pressure_limits(criteria: Criteria) -> list[Limit]:
    own = criteria.limit(
        "pressure_min", "pressure_test.pressure_min", "Pressure", Bound.AT_LEAST, places=2
    )
    return [limit for limit in (own, _design_limit(criteria)) if limit]


def _from_design(criteria: Criteria) -> Quantity | None:
    design, factor = criteria.quantity("design_pressure"), criteria.number("factor")
    return None if design is None else scaled(design, factor or Decimal(_FACTOR["value"]))


def _design_limit(criteria: Criteria) -> Limit | None:
    factor = criteria.number("factor")
    tested, design = _from_design(criteria), criteria.quantity("design_pressure")
    limit = criteria.limit(
        "design_pressure",
        "pressure_test.design_pressure",
        f"Pressure ({factor or _FACTOR['value']} times the design pressure {design})",
        Bound.AT_LEAST,
        places=2,
        value=tested,
    )
    if limit is None or factor is not None:
        return limit
    source = f"{limit.source}; factor {_FACTOR['value']}: {_FACTOR['source']}"
    return replace(limit, source=source)


def _no_limit() -> Finding:
    said = "The plan sets neither pressure_min nor design_pressure."
    return cannot_be_judged("pressure_test.pressure_min", said)


def _leaks(points: Sequence[Point], hold: Hold | None) -> list[Finding]:
    """Any leak rejects; that there is none must have been seen at the end of the hold."""
    leaking = [point for point in points if point.reading.flag("leak")]
    if leaking:
        remarks = [point.reading.text("remark") for point in leaking]
        said = "; ".join(remark for remark in remarks if remark)
        where = listed([point.name for point in leaking])
        statement = ended(f"Leak seen, {where}{f': {said}' if said else ''}")
        return [_leak(Outcome.DOES_NOT_CONFORM, "leak", statement)]
    if hold is None or hold.end.reading.flag("leak") is None:
        statement = "Whether anything leaks at the end of the hold is not stated."
        return [_leak(Outcome.INCOMPLETE, "", statement)]
    return [_leak(Outcome.CONFORMS, "none", "No leak was seen at the end of the hold.")]


def _leak(outcome: Outcome, observed: str, statement: str) -> Finding:
    return Finding(
        rule="pressure_test.leak",
        outcome=outcome,
        observed=observed,
        limit="none",
        statement=statement,
        source=_RECORDED,
    )


def _highest(criteria: Criteria, points: Sequence[Point]) -> list[Finding]:
    limit = criteria.limit(
        "pressure_max", "pressure_test.pressure_max", "Highest pressure", Bound.AT_MOST, places=2
    )
    top = max(points, key=lambda point: point.pressure)
    return [limit.judge(top.pressure, top.name)] if limit else []


def _not_held() -> Finding:
    return Finding(
        rule="pressure_test.hold",
        outcome=Outcome.INCOMPLETE,
        observed="0",
        statement="The pressure has not been held yet.",
    )


def _interrupted(points: Sequence[Point], hold: Hold | None) -> list[Finding]:
    """Pressure that was raised or let down in between was not held."""
    if hold is None:
        return []
    between = [
        point.name
        for point in points
        if point.phase != HELD and hold.start.at < point.at < hold.end.at
    ]
    if not between:
        return []
    said = ended(f"The hold was interrupted: pressure raised or let down, {listed(between)}")
    return [cannot_be_judged("pressure_test.hold", said)]


def _held(criteria: Criteria, hold: Hold, limits: Sequence[Limit]) -> list[Finding]:
    lowest = hold.lowest
    return [
        *(limit.judge(lowest.pressure, f"lowest of the hold, {lowest.name}") for limit in limits),
        _hold_time(criteria, hold),
        *_drop(criteria, hold),
        *_interval(criteria, hold),
        *_temperatures(hold),
    ]


def _hold_time(criteria: Criteria, hold: Hold) -> Finding:
    """A hold that is too short so far is incomplete: it can go on."""
    stated = criteria.quantity("hold_min")
    limit = Limit(
        rule="pressure_test.hold",
        label="Hold",
        value=stated or Quantity.parse(_HOLD["value"]),
        bound=Bound.AT_LEAST,
        source=criteria.source("hold_min") if stated else _HOLD["source"],
    )
    found = limit.judge(hold.time)
    if found.outcome is Outcome.CONFORMS:
        return found
    return replace(found, outcome=Outcome.INCOMPLETE)


def _drop(criteria: Criteria, hold: Hold) -> list[Finding]:
    limit = criteria.limit(
        "drop_max", "pressure_test.drop", "Drop during the hold", Bound.AT_MOST, places=2
    )
    return [limit.judge(hold.drop)] if limit else []


def _interval(criteria: Criteria, hold: Hold) -> list[Finding]:
    limit = criteria.limit(
        "interval_max", "pressure_test.interval", "Time between readings", Bound.AT_MOST
    )
    gap = hold.longest_gap
    if limit is None or gap is None:
        return []
    time, before = gap
    return [limit.judge(time, f"after {before.name}")]


def _temperatures(hold: Hold) -> list[Finding]:
    """Pressure follows temperature, so both ends of the hold need one."""
    without = [
        f"the {name}"
        for name, point in (("start", hold.start), ("end", hold.end))
        if "temperature" not in point.reading
    ]
    if not without:
        return []
    return [
        Finding(
            rule="pressure_test.temperature",
            outcome=Outcome.INCOMPLETE,
            limit="at the start and at the end of the hold",
            statement=f"No temperature is recorded at {' and '.join(without)} of the hold.",
            source=_RECORDED,
        )
    ]


def _computed(
    points: Sequence[Point], hold: Hold | None, limits: Sequence[Limit]
) -> dict[str, Any]:
    asked = [limit.value for limit in limits if isinstance(limit.value, Quantity)]
    return {
        "hold": str(hold.time) if hold else None,
        "required": str(max(asked)) if asked else None,
        "lowest": str(hold.lowest.pressure) if hold else None,
        "highest": str(max(point.pressure for point in points)),
        "drop": str(hold.drop) if hold else None,
    }


def _flags(criteria: Criteria) -> tuple[str, ...]:
    code = "pressure_test.code: the local code and the owner say whether and how it is tested"
    if criteria.text("medium") != "gas":
        return (code,)
    return (code, "pressure_test.gas: compressed gas stores energy enough to kill; use water")
