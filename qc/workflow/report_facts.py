"""What the guards of a report ask, gathered from its handlings and from its step."""

from collections.abc import Iterable, Sequence
from datetime import date

from qc.engine.nonconformance import (
    Disposition,
    NamedReadings,
    ReportDeed,
    ReportFacts,
    due_next,
)
from qc.engine.plan import OpenReport, Party
from qc.engine.rules import Outcome
from qc.records.models import Inspection
from qc.records.progress import StepProgress
from qc.records.reports import ReportProgress


def report_facts(
    held: ReportProgress, steps: Sequence[StepProgress], *, actor: int, day: date
) -> ReportFacts:
    """The facts of a report before anything is said about it."""
    proposal, work = held.last(ReportDeed.PROPOSE), held.last(ReportDeed.IMPLEMENT)
    return ReportFacts(
        state=held.state,
        disposition=held.disposition,
        proposed_by=proposal.done_by_id if proposal else 0,
        implemented_by=work.done_by_id if work else 0,
        granted=held.concession,
        covers_standing=_covers_standing(held, steps),
        actor=actor,
        day=day,
    )


def open_reports(
    reports: Iterable[ReportProgress], steps: Sequence[StepProgress]
) -> tuple[OpenReport, ...]:
    """The reports that are not closed, each with the party that must act next."""
    return tuple(
        OpenReport(
            number=held.report.number,
            state=str(held.state),
            step=step.step.position if (step := step_of(held, steps)) else None,
            party=awaited_party(held, steps),
        )
        for held in reports
        if held.is_open
    )


def awaited_party(held: ReportProgress, steps: Sequence[StepProgress]) -> Party:
    """Whose turn it is: the inspector's, where a corrected reading can close the report."""
    corrected = bool(closing_inspections(held, steps, corrections=True))
    due = due_next(held.state, Disposition.CORRECTION if corrected else held.disposition)
    return due.parties[0] if due else Party.INSPECTOR


def step_of(held: ReportProgress, steps: Sequence[StepProgress]) -> StepProgress | None:
    """The step that the report is about, as the plan in force has it."""
    key = held.report.step.key if held.report.step else None
    return next((p for p in steps if p.step.key == key), None)


def closing_inspections(
    held: ReportProgress, steps: Sequence[StepProgress], *, corrections: bool = False
) -> tuple[Inspection, ...]:
    """The inspections that can be named as re-inspection, or as correction; the latest first."""
    return tuple(
        inspection
        for progress in steps
        for inspection in reversed(progress.standing)
        if (named := named_readings(held, steps, inspection.pk))
        if named.on_step and named.standing and named.conforms
        if (named.corrects if corrections else named.later)
    )


def named_readings(
    held: ReportProgress, steps: Sequence[StepProgress], inspection_id: int
) -> NamedReadings:
    """What is known of an inspection that is named for this report."""
    key = held.report.step.key if held.report.step else None
    for progress in steps:
        for inspection in progress.inspections:
            if inspection.pk == inspection_id:
                return NamedReadings(
                    on_step=key in (None, progress.step.key),
                    later=_is_later(held, inspection),
                    standing=inspection in progress.standing,
                    conforms=inspection.came_to is progress.outcome is Outcome.CONFORMS,
                    corrects=_is_corrected(held, progress, inspection),
                )
    return NamedReadings(on_step=False, later=False, standing=False, conforms=False, corrects=False)


def _is_later(held: ReportProgress, inspection: Inspection) -> bool:
    failed = held.report.inspection
    if failed is None or failed.came_to is not Outcome.DOES_NOT_CONFORM:
        return inspection.recorded_at > held.report.opened_at
    return inspection.series > failed.series


def _is_corrected(held: ReportProgress, progress: StepProgress, inspection: Inspection) -> bool:
    """Whether what stands of the series in question has been corrected since."""
    doubted = held.report.inspection
    return (
        doubted is not None
        and inspection.series == doubted.series
        and any(i.corrects_id and i.pk > doubted.pk for i in progress.standing)
    )


def _covers_standing(held: ReportProgress, steps: Sequence[StepProgress]) -> bool:
    """Whether the verdict that was conceded stands, where the one that stands does not conform."""
    progress = step_of(held, steps)
    approval = held.approval
    if progress is None or progress.latest is None or approval is None:
        return True
    conforms = progress.outcome is not Outcome.DOES_NOT_CONFORM
    return conforms or approval.inspection_id == progress.latest.pk
