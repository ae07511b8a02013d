"""Were readings taken often enough, and over the whole of the work?"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction
from itertools import pairwise

from qc.engine.characteristic import Criteria
from qc.engine.fields import Values
from qc.engine.quantities import Quantity, decimal_text, symbol_of
from qc.engine.rules import Bound, Finding, Outcome, cannot_be_judged, listed


def schedule_findings(criteria: Criteria, readings: Sequence[Values]) -> tuple[Finding, ...]:
    """Findings on the interval between readings and on the cover of the work period."""
    asked = [name for name in ("interval_max", "work_start", "work_end") if name in criteria]
    if not asked:
        return ()
    untimed = [n for n, given in enumerate(readings, start=1) if given.moment("at") is None]
    if untimed:
        statement = f"Reading {listed(untimed)}: the time it was taken is not given."
        return (cannot_be_judged("ambient.interval", statement, criteria.source(asked[0])),)
    times = sorted(moment for given in readings if (moment := given.moment("at")))
    found = (_interval(criteria, times), _start(criteria, times), _end(criteria, times))
    return tuple(finding for finding in found if finding is not None)


def _interval(criteria: Criteria, times: Sequence[datetime]) -> Finding | None:
    gaps = [(later - earlier, earlier) for earlier, later in pairwise(_points(criteria, times))]
    limit = criteria.limit(
        "interval_max",
        rule="ambient.interval",
        label="Time between readings",
        bound=Bound.AT_MOST,
        places=2,
        value=allowed_gap(criteria),
    )
    if limit is None or not gaps:
        return None
    gap, since = max(gaps)
    finding = limit.judge(_hours(gap), f"after {since:%Y-%m-%d %H:%M}")
    tolerance = criteria.quantity("interval_tolerance")
    if tolerance is None:
        return finding
    # The sum of both reads badly in either unit: 4 h and 10 min is no round number of hours.
    asked = f"{_asked(criteria)} and {_written(tolerance)} of tolerance"
    return replace(finding, limit=asked, statement=finding.statement.replace(limit.text, asked, 1))


def _asked(criteria: Criteria) -> str:
    longest = criteria.quantity("interval_max")
    return f"at most {_written(longest)}" if longest else ""


def _written(span: Quantity) -> str:
    return f"{decimal_text(span.magnitude)} {symbol_of(span.unit)}"


def _points(criteria: Criteria, times: Sequence[datetime]) -> list[datetime]:
    """The moments between which a gap counts: readings that touch the work, and its end."""
    start, end = criteria.moment("work_start"), criteria.moment("work_end")
    points = list(times)
    while start and len(points) > 1 and points[1] <= start:
        points.pop(0)
    while end and len(points) > 1 and points[-2] >= end:
        points.pop()
    if end and points[-1] < end:
        points.append(end)
    return points


def allowed_gap(criteria: Criteria) -> Quantity | None:
    """The longest interval with its tolerance, in the unit of the interval; None if not set."""
    longest, tolerance = criteria.quantity("interval_max"), criteria.quantity("interval_tolerance")
    if longest is None or tolerance is None:
        return longest
    more = tolerance.magnitude_in(longest.unit)
    return Quantity(Fraction(longest.magnitude) + Fraction(more), longest.unit)


def _start(criteria: Criteria, times: Sequence[datetime]) -> Finding | None:
    start = criteria.moment("work_start")
    if start is None:
        return None
    covered = times[0] <= start
    return _cover(
        "ambient.cover_start",
        Outcome.CONFORMS if covered else Outcome.DOES_NOT_CONFORM,
        f"The first reading was taken {times[0]:%Y-%m-%d %H:%M}, "
        f"{'not after' if covered else 'after'} the start of the work at {start:%Y-%m-%d %H:%M}.",
        criteria.source("work_start"),
    )


def _end(criteria: Criteria, times: Sequence[datetime]) -> Finding | None:
    """Work must be covered to its end; within one interval of it where the plan sets one."""
    end, allowed = criteria.moment("work_end"), allowed_gap(criteria)
    if end is None:
        return None
    left = _hours(max(end - times[-1], timedelta(0)))
    covered = left <= allowed if allowed else not left.magnitude
    return _cover(
        "ambient.cover_end",
        Outcome.CONFORMS if covered else Outcome.INCOMPLETE,
        f"The last reading was taken {times[-1]:%Y-%m-%d %H:%M}; the work ends "
        f"{end:%Y-%m-%d %H:%M}{'.' if covered else ': take another.'}",
        criteria.source("work_end"),
    )


def _cover(rule: str, outcome: Outcome, statement: str, source: str) -> Finding:
    return Finding(rule=rule, outcome=outcome, statement=statement, source=source)


def _hours(span: timedelta) -> Quantity:
    microseconds = span // timedelta(microseconds=1)
    return Quantity(Fraction(microseconds, 3_600_000_000), "hour")
