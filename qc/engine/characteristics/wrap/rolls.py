"""The rolls: soaking, working time, start before the leak, overlap of the turns."""

from collections.abc import Sequence
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.wrap.parts import Recorded, judge_part, recorded
from qc.engine.characteristics.wrap.seal import window
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Bound,
    Finding,
    Judged,
    Outcome,
    cannot_be_judged,
    judge_places,
    listed,
)


def roll_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """What the plan asks of every roll, and of the start of the first."""
    rolls = recorded(readings, "roll")
    soaks = [
        finding
        for limit in window(criteria, "soak", "wrap.soak", "Soaking")
        for finding in judge_part(limit, rolls, "the soaking time", lambda r: r.quantity("soak"))
    ]
    kneads = [
        finding
        for limit in window(criteria, "knead", "wrap.knead", "Kneading")
        for finding in judge_part(limit, rolls, "the kneading time", lambda r: r.quantity("knead"))
    ]
    starts = [
        finding
        for limit in window(criteria, "start_offset", "wrap.start_offset", "Start before the leak")
        for finding in judge_part(
            limit, rolls, "the start", lambda r: r.quantity("start_offset"), once=True
        )
    ]
    timed = [*soaks, *kneads, *_working_time(criteria, rolls)]
    return [*timed, *starts, *_overlaps(criteria, rolls)]


def time_allowed(criteria: Criteria, reading: Values) -> Quantity | None:
    """The time of the table's nearest row not colder than the surface; None where there is none."""
    surface = reading.quantity("surface_temperature")
    if surface is None:
        return None
    rows = criteria.table("working_time")
    return next((time for at, time in rows if at >= surface), None)


def _working_time(criteria: Criteria, rolls: Recorded) -> list[Finding]:
    if "working_time" not in criteria:
        return []
    rule, source = "wrap.working_time", criteria.source("working_time")
    if not len(rolls):
        said = "No roll has been recorded."
        return [Finding(rule=rule, outcome=Outcome.INCOMPLETE, statement=said, source=source)]
    return [
        judge_places(
            rule,
            [_worked(criteria, reading) for _, reading in rolls.numbered],
            observed=", ".join(
                given.printed if (given := reading.quantity("worked")) else "not recorded"
                for _, reading in rolls.numbered
            ),
            limit="within the working time of the surface temperature",
            source=source,
            names=[f"reading {n}" for n, _ in rolls.numbered],
        )
    ]


def _worked(criteria: Criteria, reading: Values) -> Judged:
    worked, surface = reading.quantity("worked"), reading.quantity("surface_temperature")
    if worked is None or surface is None:
        lacking = "the time it took" if worked is None else "the surface temperature"
        return Outcome.INCOMPLETE, f"{lacking} is not recorded"
    allowed = time_allowed(criteria, reading)
    if allowed is None:
        said = f"{surface.printed} is above the warmest row of the working times"
        return Outcome.CANNOT_BE_JUDGED, said
    at = f"{worked.printed} of {allowed.printed} at {surface.printed}"
    if worked > allowed:
        return Outcome.DOES_NOT_CONFORM, f"laid down too late: {at}"
    return Outcome.CONFORMS, f"laid down while workable: {at}"


def overlap_of(criteria: Criteria, reading: Values) -> Quantity | None:
    """The overlap of a roll as a share of its width; None where it is not recorded.

    100 % or more, which no roll can have, is what a wrong width gives.
    """
    stated, width = reading.quantity("overlap"), criteria.quantity("roll_width")
    if stated is not None:
        return stated
    overlap = reading.quantity("overlap_width")
    if overlap is None or width is None:
        return None
    share = Fraction(overlap.magnitude_in("mm")) / Fraction(width.magnitude_in("mm"))
    return Quantity(100 * share, "%")


def is_possible(overlap: Quantity) -> bool:
    """True for an overlap that lets the wrap go on: less than the whole width."""
    return bool(overlap.magnitude_in("%") < 100)


def _overlaps(criteria: Criteria, rolls: Recorded) -> list[Finding]:
    limit = criteria.limit("overlap_min", "wrap.overlap", "Overlap of the turns", Bound.AT_LEAST)
    if limit is None:
        return []
    wrong = [
        n
        for n, reading in rolls.numbered
        if (overlap := overlap_of(criteria, reading)) and not is_possible(overlap)
    ]
    possible = Recorded(rolls.part, [(n, r) for n, r in rolls.numbered if n not in wrong])
    findings = judge_part(limit, possible, "the overlap", lambda r: overlap_of(criteria, r))
    if not wrong:
        return findings
    said = f"Reading {listed(wrong)}: the overlap is not less than the width of the roll."
    impossible = cannot_be_judged(limit.rule, said, limit.source)
    return [impossible, *findings] if len(possible) else [impossible]
