"""Judges white cloth tests of blast air: clean, long enough, at start-up and often enough."""

from collections.abc import Sequence
from itertools import pairwise

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.blast_air.chain import ClothTest, Run, by_outlet, runs
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Judged,
    Limit,
    Outcome,
    cannot_be_judged,
    judge_each,
    judge_places,
    listed,
)
from qc.engine.standards.tables import load_tables, source_text

TABLES = load_tables("qc.engine.characteristics.blast_air")
_SHORTEST = Quantity.parse(TABLES["test"]["duration"])


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Oil or water on any cloth rejects; only tests that were long enough show clean air."""
    tests = [ClothTest(n, reading) for n, reading in enumerate(readings, start=1)]
    full = [test for test in tests if _long_enough(criteria, test)]
    outlets = by_outlet(full)
    between = [run for chain in outlets.values() for run in runs(chain)]
    findings = [
        _evidence(tests),
        criteria.enough("readings_min", "blast_air.readings", len(full), "full test"),
        *_start_up(criteria, outlets),
        *_interval(criteria, between),
    ]
    hours = [run.hours for run in between if isinstance(run, Run) and not run.most]
    longest = str(Quantity(max(hours), "hour")) if hours else None
    return Assessment(
        findings=tuple(findings),
        computed={"longest_run": longest},
        flags=tuple(_flags(criteria, tests, full)),
    )


def _shortest(criteria: Criteria) -> Quantity:
    return criteria.quantity("duration_min") or _SHORTEST


def _long_enough(criteria: Criteria, test: ClothTest) -> bool:
    duration = test.reading.quantity("duration")
    return duration is not None and duration >= _shortest(criteria)


def _evidence(tests: Sequence[ClothTest]) -> Finding:
    judged = [_judged(test.reading) for test in tests]
    dirty = any(outcome is not Outcome.CONFORMS for outcome, _ in judged)
    return judge_places(
        "blast_air.cloth",
        judged,
        observed="oil or water on the cloth" if dirty else "no oil or water",
        limit="no oil or water on the cloth",
        source=source_text(TABLES),
    )


def _judged(reading: Values) -> Judged:
    found = [name for name in ("oil", "water") if reading.flag(name)]
    if found:
        said = (
            f"{' and '.join(found)} on the cloth: stop, clear the air, and look again at what was "
            "blasted since the last clean test"
        )
        return Outcome.DOES_NOT_CONFORM, said
    return Outcome.CONFORMS, "no oil or water on the cloth"


def _start_up(criteria: Criteria, outlets: dict[str, list[ClothTest]]) -> list[Finding]:
    """The first full test of an outlet, and the first after blasting had ended, is at start-up."""
    if not criteria.flag("at_start_up") or not outlets:
        return []
    first = [chain[0] for chain in outlets.values()]
    first += [b for chain in outlets.values() for a, b in pairwise(chain) if a.until]
    return [
        judge_places(
            "blast_air.start_up",
            [_started(test) for test in first],
            observed=f"{sum(test.starts_up for test in first)} of {len(first)} at start-up",
            limit="a test at each start-up",
            source=criteria.source("at_start_up"),
            names=[f"reading {test.number}" for test in first],
        )
    ]


def _started(test: ClothTest) -> Judged:
    if test.starts_up:
        return Outcome.CONFORMS, "the air was tested at start-up"
    if "occasion" not in test.reading:
        return Outcome.CANNOT_BE_JUDGED, "not stated whether this first test was at start-up"
    return Outcome.DOES_NOT_CONFORM, "this first full test was not at start-up"


def _interval(criteria: Criteria, between: Sequence[Run | ClothTest]) -> list[Finding]:
    limit = criteria.limit(
        "interval_max",
        "blast_air.interval",
        "Operating time between tests",
        Bound.AT_MOST,
        places=2,
    )
    if limit is None:
        return []
    known = [run for run in between if isinstance(run, Run)]
    backwards = [run.after.number for run in known if run.hours < 0]
    if backwards:
        said = f"Reading {listed(backwards)}: time or meter runs backwards after this test."
        return [cannot_be_judged(limit.rule, said, limit.source)]
    told = [run for run in known if not (run.most and _over(limit, run))]
    untold = [run.after.number for run in known if run.most and _over(limit, run)]
    untold += [test.number for test in between if isinstance(test, ClothTest)]
    findings = [_longest(limit, told)] if told else []
    return [*findings, *_untold(limit, untold)]


def _over(limit: Limit, run: Run) -> bool:
    return limit.judge(Quantity(run.hours, "hour")).outcome is not Outcome.CONFORMS


def _longest(limit: Limit, told: Sequence[Run]) -> Finding:
    hours = [run.hours for run in told]
    return judge_each(
        limit, hours, "hour", lambda i: f"after reading {told[i].after.number}", "runs"
    )


def _untold(limit: Limit, numbers: Sequence[int]) -> list[Finding]:
    if not numbers:
        return []
    said = (
        f"Reading {listed(sorted(numbers))}: not known how long the air ran after this test; give "
        "the times, the meter, or the end of blasting."
    )
    return [cannot_be_judged(limit.rule, said, limit.source)]


def _flags(criteria: Criteria, tests: Sequence[ClothTest], full: Sequence[ClothTest]) -> list[str]:
    short = [test.number for test in tests if test not in full]
    if not short:
        return []
    asked = _shortest(criteria).printed
    return [f"blast_air.duration: reading {listed(short)}: shorter than {asked}, not counted"]
