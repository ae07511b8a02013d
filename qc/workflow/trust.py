"""Which standing inspections rest on an instrument that could not be trusted at the time."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from qc.engine.metrology import CalibrationFact, CheckFact, Span, spans_of
from qc.records.models import (
    Calibration,
    CalibrationWithdrawal,
    Inspection,
    Instrument,
    InstrumentCheck,
    PlanStep,
    Reading,
    Repair,
)
from qc.records.progress import StepProgress

Progress = Mapping[Repair, tuple[StepProgress, ...]]
Spans = Mapping[int, tuple[Span, ...]]
"""The times in which each instrument could not be trusted, by the instrument's id."""


@dataclass(frozen=True)
class Suspect:
    """A standing inspection, and the instrument and time that put it in doubt."""

    repair: Repair
    step: PlanStep
    inspection: Inspection
    instrument: Instrument
    span: Span


def spans_by_instrument(instruments: Collection[int]) -> dict[int, tuple[Span, ...]]:
    """The untrustworthy times of instruments, by id, in a fixed number of queries."""
    checks = defaultdict(list)
    for check in InstrumentCheck.objects.filter(instrument__in=instruments):
        checks[check.instrument_id].append(_check_fact(check))
    calibrations = defaultdict(list)
    rows = Calibration.objects.filter(instrument__in=instruments)
    for row in rows.select_related("withdrawal", "instrument__project"):
        calibrations[row.instrument_id].append(_calibration_fact(row))
    return {pk: spans_of(checks[pk], calibrations[pk]) for pk in instruments}


def suspects(progress: Progress, spans: Spans | None = None) -> Iterator[Suspect]:
    """Every standing inspection that is in doubt, once for each instrument and time."""
    uses = list(_uses(progress))
    known = spans if spans is not None else spans_by_instrument({u[3].pk for u in uses})
    doubtful = [use for use in uses if known.get(use[3].pk)]
    taken = _moments([inspection for _, _, inspection, _ in doubtful])
    for repair, step, inspection, instrument in doubtful:
        moments = (inspection.observed_at, *taken[inspection.pk])
        for span in known[instrument.pk]:
            if any(span.covers(moment) for moment in moments):
                yield Suspect(repair, step, inspection, instrument, span)


def moments_of(inspection: Inspection) -> tuple[datetime, ...]:
    """When an inspection was made, and when its readings say they were taken."""
    return (inspection.observed_at, *_moments([inspection])[inspection.pk])


def fault_row(span: Span) -> InstrumentCheck | CalibrationWithdrawal:
    """The failed check or the withdrawal that showed the fault of a span."""
    if span.check is not None:
        return InstrumentCheck.objects.get(pk=span.check)
    return CalibrationWithdrawal.objects.get(calibration=span.calibration)


def _uses(progress: Progress) -> Iterator[tuple[Repair, PlanStep, Inspection, Instrument]]:
    for repair, steps in progress.items():
        for step in steps:
            for inspection in step.standing:
                for use in inspection.instrument_uses.all():
                    yield repair, step.step, inspection, use.instrument


def _moments(inspections: Collection[Inspection]) -> dict[int, list[datetime]]:
    """The moments that readings themselves say they were taken at, by inspection."""
    found = defaultdict(list)
    rows = Reading.objects.filter(inspection__in={i.pk for i in inspections})
    for inspection, values in rows.values_list("inspection", "values"):
        if isinstance(said := values.get("at"), str):
            found[inspection].append(datetime.fromisoformat(said))
    return found


def _check_fact(check: InstrumentCheck) -> CheckFact:
    return CheckFact(
        id=check.pk,
        at=check.checked_at,
        recorded_at=check.recorded_at,
        passed=check.passed,
        after_use=check.occasion == "after",
    )


def _calibration_fact(calibration: Calibration) -> CalibrationFact:
    zone = ZoneInfo(calibration.instrument.project.time_zone)
    day = calibration.calibrated_on
    withdrawn = hasattr(calibration, "withdrawal")
    return CalibrationFact(
        id=calibration.pk,
        starts=_midnight(day, zone),
        day_ends=_midnight(day + timedelta(days=1), zone),
        recorded_at=calibration.recorded_at,
        bad_since=calibration.withdrawal.bad_since if withdrawn else None,
    )


def _midnight(day: date, zone: ZoneInfo) -> datetime:
    return datetime.combine(day, time(), zone)
