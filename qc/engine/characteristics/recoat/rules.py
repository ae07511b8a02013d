"""Judges whether the next coat was begun inside the recoat window of the one below."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.fields import InvalidValue, Values
from qc.engine.formulas.elapsed import elapsed, hours_of, moment_after
from qc.engine.formulas.kinetics import Rows, colder_row, hotter_row
from qc.engine.quantities import Quantity
from qc.engine.rules import Assessment, Bound, Finding, Outcome, cannot_be_judged

_LONGEST = Quantity.parse("366 day")


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue where a window has no time, lengthens when warmer, or closes before it opens."""
    for name in ("window_min", "window_max"):
        _check_table(criteria, name, f"{path}.{name}")
    latest = {at: time for at, time in criteria.table("window_max")}
    for at, time in criteria.table("window_min"):
        if at in latest and latest[at] < time:
            problem = f"{time} at {at} is after window_max, {latest[at]}"
            raise InvalidValue(f"{path}.window_min", problem)


def _check_table(criteria: Criteria, name: str, path: str) -> None:
    rows = criteria.table(name)
    for at, time in rows:
        if time > _LONGEST:
            raise InvalidValue(path, f"{time} at {at} is above {_LONGEST}")
    for (cold, longer), (hot, shorter) in zip(rows, rows[1:], strict=False):
        if shorter > longer:
            raise InvalidValue(path, f"{shorter} at {hot} is longer than {longer} at {cold}")


@dataclass(frozen=True)
class Side:
    """One end of the window: its rule, which row counts, and the bound."""

    criterion: str
    rule: str
    label: str
    bound: Bound
    row: Callable[[Rows, Fraction], Fraction | None]
    extreme: Callable[[Sequence[Fraction]], Fraction]


EARLIEST = Side(
    "window_min", "recoat.earliest", "Time between coats", Bound.AT_LEAST, colder_row, min
)
LATEST = Side("window_max", "recoat.latest", "Time between coats", Bound.AT_MOST, hotter_row, max)


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Both ends of the window for every coat; past the window an abraded coat is accepted."""
    findings: list[Finding] = []
    flags: list[str] = []
    for i, reading in enumerate(readings, start=1):
        name = reading.text("coat") or f"coat {i}"
        late = _judge_side(LATEST, criteria, reading, name)
        if late and late.outcome is Outcome.DOES_NOT_CONFORM and reading.flag("abraded"):
            late = _abraded(late)
            flags.append(f"{name}: past the recoat window, abraded")
        found = (_judge_side(EARLIEST, criteria, reading, name), late)
        findings += [finding for finding in found if finding]
    return Assessment(
        findings=tuple(findings),
        computed={
            "waited": [_text(_waited(reading)) for reading in readings],
            "earliest": [_moment(EARLIEST, criteria, reading) for reading in readings],
            "latest": [_moment(LATEST, criteria, reading) for reading in readings],
        },
        flags=tuple(flags),
    )


def _judge_side(side: Side, criteria: Criteria, reading: Values, name: str) -> Finding | None:
    if side.criterion not in criteria:
        return None
    source = criteria.source(side.criterion)
    waited, time = _waited(reading), _time(side, criteria, reading)
    if waited is not None and waited.magnitude < 0:
        statement = f"{name}: begun before the previous coat was finished."
        return cannot_be_judged(side.rule, statement, source)
    if time is None:
        return cannot_be_judged(side.rule, f"{name}: {_why(side, reading)}.", source)
    if waited is None:
        return Finding(
            rule=side.rule,
            outcome=Outcome.INCOMPLETE,
            statement=f"{name}: not begun yet.",
            source=source,
        )
    limit = criteria.limit(side.criterion, side.rule, side.label, side.bound, value=time)
    other = _time(LATEST if side is EARLIEST else EARLIEST, criteria, reading)
    return replace(limit, opposite=other).judge(waited, name) if limit else None


def _why(side: Side, reading: Values) -> str:
    if "temperatures" not in reading:
        return "no surface temperature was recorded"
    than = "colder" if side is EARLIEST else "hotter"
    return f"the surface was {than} than the table of {side.criterion}"


def _time(side: Side, criteria: Criteria, reading: Values) -> Quantity | None:
    """The time of the row that counts, in the unit of that table."""
    celsius = [Fraction(t.magnitude_in("degC")) for t in reading.quantities("temperatures")]
    if not celsius:
        return None
    mean = criteria.text("temperature_statistic") == "mean"
    counts = Fraction(sum(celsius), len(celsius)) if mean else side.extreme(celsius)
    table = criteria.table(side.criterion)
    hours = side.row([(Fraction(at.magnitude_in("degC")), hours_of(t)) for at, t in table], counts)
    return next((time for _, time in table if hours_of(time) == hours), None)


def _waited(reading: Values) -> Quantity | None:
    start, end = reading.moment("previous_end"), reading.moment("next_start")
    return elapsed(start, end) if start and end else None


def _moment(side: Side, criteria: Criteria, reading: Values) -> str | None:
    time, start = _time(side, criteria, reading), reading.moment("previous_end")
    if time is None or start is None:
        return None
    moment: datetime | None = moment_after(start, hours_of(time), round_up=side is EARLIEST)
    return moment.isoformat() if moment else None


def _abraded(late: Finding) -> Finding:
    """Past the window is no reject where the coat was abraded before the next."""
    return Finding(
        rule=late.rule,
        outcome=Outcome.CONFORMS,
        observed=late.observed,
        limit=late.limit,
        statement=f"{late.statement} Abraded before the next coat, as a late coat asks for.",
        source=late.source,
    )


def _text(value: Quantity | None) -> str | None:
    return None if value is None else str(value)
