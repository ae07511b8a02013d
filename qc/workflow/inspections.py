"""Recording what was observed, and correcting it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Model

from qc.accounts.models import User
from qc.engine.fields import InvalidValue
from qc.engine.lifecycle import Act, Refused
from qc.engine.plan import Blocker, Doubt
from qc.engine.rules import Outcome, Verdict
from qc.ledger.chain import Entry
from qc.records.models import Inspection, Reading
from qc.records.progress import StepProgress, typed_readings
from qc.workflow.deed import Deed, act, begin, finish, void_signatures
from qc.workflow.means import lock_register, means_of, save_means
from qc.workflow.refusals import on_step
from qc.workflow.register.consequences import report_known_faults
from qc.workflow.reports import report_failure
from qc.workflow.reports.windows import report_broken_windows


@dataclass(frozen=True, kw_only=True)
class Observation:
    """What an inspector brings: readings in the case format, and with what they were taken.

    `as_typed` has the same shape with the text as entered. `instruments`, `batches` and
    `applicators` are ids; the last are those of qualifications.
    `new_series` asks for a series of its own after work that was done again; `rework` says what.
    """

    readings: Sequence[dict[str, Any]]
    observed_at: datetime
    as_typed: Sequence[dict[str, Any]] = ()
    instruments: Sequence[int] = ()
    batches: Sequence[int] = ()
    applicators: Sequence[int] = ()
    remarks: str = ""
    rework: str = ""
    new_series: bool = False


@act
def record_inspection(
    *,
    repair_id: int,
    position: int,
    actor: User,
    at: datetime,
    act_id: UUID,
    observation: Observation,
) -> Entry:
    """Record readings on a step and judge them with those of its series.

    After a verdict that does not conform the readings open a new series, and where the observation
    asks for one; its `rework` must then say what was done. Refused past an open hold, or if the
    observation is unusable.
    """
    lock_register(repair_id)
    deed = begin(
        Act.RECORD_INSPECTION,
        repair_id=repair_id,
        actor=actor,
        at=at,
        act_id=act_id,
        position=position,
    )
    progress = deed.step(position)
    opens_series = _opens_series(deed, progress, observation)
    series = progress.series + 1 if opens_series else progress.series
    standing = () if opens_series else progress.standing_readings
    verdict = _judge(progress, standing, observation)
    rework = observation.rework.strip() if opens_series else ""
    inspection = _save(deed, progress, observation, verdict, series=series, rework=rework)
    failure = report_failure(deed, progress, inspection)
    doubts = report_known_faults(deed, progress.step, inspection)
    windows = report_broken_windows(deed, progress, inspection)
    rows = (*_written(inspection), failure, *doubts, *windows)
    return finish(deed, *rows, observed_at=observation.observed_at)


@act
def correct_inspection(
    *,
    repair_id: int,
    position: int,
    inspection_id: int,
    reason: str,
    actor: User,
    at: datetime,
    act_id: UUID,
    observation: Observation,
) -> Entry:
    """Record what an earlier inspection should have said, with the reason. Both stay on record."""
    lock_register(repair_id)
    deed = begin(Act.CORRECT_INSPECTION, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    progress = deed.step(position)
    if reasons := replaced(progress, inspection_id):
        raise Refused(*reasons)
    wrong = next(i for i in progress.standing if i.pk == inspection_id)
    if not reason.strip():
        raise Refused(on_step(progress, "correction", "a correction needs its reason"))
    kept = tuple(r for r in progress.standing_readings if r.inspection_id != wrong.pk)
    verdict = _judge(progress, kept, observation)
    inspection = _save(
        deed,
        progress,
        observation,
        verdict,
        series=wrong.series,
        corrects=wrong,
        reason=reason.strip(),
        rework=observation.rework.strip() if progress.opens_new_series else "",
    )
    failure = report_failure(deed, progress, inspection)
    doubts = report_known_faults(deed, progress.step, inspection)
    windows = report_broken_windows(deed, progress, inspection)
    returned = void_signatures(deed, f"Step {position} was corrected: {reason.strip()}")
    rows = (*_written(inspection), failure, *doubts, *windows, returned)
    return finish(deed, *rows, observed_at=observation.observed_at)


def replaced(progress: StepProgress, inspection_id: int) -> tuple[Blocker, ...]:
    """Why an inspection can no longer be corrected; empty while it stands."""
    if any(inspection.pk == inspection_id for inspection in progress.standing):
        return ()
    if any(i.pk == inspection_id for i in progress.inspections if i not in progress.counting):
        problem = "the plan has been revised for this step since that inspection"
        return (on_step(progress, "correction", problem),)
    return (on_step(progress, "correction", "a later inspection has replaced this one"),)


def may_open_series(progress: StepProgress, doubts: Sequence[Doubt]) -> bool:
    """Whether the step may be inspected again from the start, though no verdict asks for it.

    The work may have been done again: because a later step has to be, or because what was recorded
    can't be relied on. Readings that are merely incomplete are completed instead.
    """
    if progress.latest is None:
        return False
    return progress.outcome is Outcome.CONFORMS or bool(doubts)


def _opens_series(deed: Deed, progress: StepProgress, observation: Observation) -> bool:
    """Whether the readings begin a new series; Refused if they may not, or don't say why."""
    if not (progress.opens_new_series or observation.new_series):
        return False
    doubts = next((f.doubts for f in deed.facts.steps if f.position == deed.facts.position), ())
    if not (progress.opens_new_series or may_open_series(progress, doubts)):
        problem = "there is no conforming verdict to begin anew from: go on with its readings"
        raise Refused(on_step(progress, "series", problem))
    if not observation.rework.strip():
        since = "the verdict did not conform" if progress.opens_new_series else "it was inspected"
        raise Refused(on_step(progress, "rework", f"say what was done since {since}"))
    return True


def _judge(
    progress: StepProgress, standing: Sequence[Reading], observation: Observation
) -> Verdict:
    step = progress.step
    if not observation.readings:
        raise Refused(on_step(progress, "readings", "enter at least one reading"))
    try:
        new = [
            step.checks.parse_reading(values, f"reading {number}")
            for number, values in enumerate(observation.readings, start=1)
        ]
    except InvalidValue as refusal:
        raise Refused(on_step(progress, "readings", str(refusal))) from None
    return step.checks.judge(step.typed_criteria(), [*typed_readings(step, standing), *new])


def _save(
    deed: Deed,
    progress: StepProgress,
    observation: Observation,
    verdict: Verdict,
    *,
    series: int,
    corrects: Inspection | None = None,
    reason: str = "",
    rework: str = "",
) -> Inspection:
    step = progress.step
    means = means_of(
        deed,
        progress,
        instruments=observation.instruments,
        batches=observation.batches,
        applicators=observation.applicators,
        observed_at=observation.observed_at,
    )
    if observation.observed_at > deed.at:
        raise Refused(on_step(progress, "moment", "it was observed later than now"))
    inspection = Inspection.objects.create(
        repair=deed.repair,
        step=step,
        series=series,
        corrects=corrects,
        reason=reason,
        rework=rework,
        remarks=observation.remarks.strip(),
        observed_at=observation.observed_at,
        recorded_at=deed.at,
        recorded_by=deed.actor,
        recorded_by_name=deed.actor.printed_name,
        schema_version=step.checks.schema_version,
        criteria=step.criteria,
        sources=step.sources,
        verdict=verdict.as_case(),
        outcome=verdict.outcome,
        engine=verdict.engine,
        act_id=deed.act_id,
    )
    _save_readings(inspection, observation)
    save_means(inspection, means)
    return inspection


def _save_readings(inspection: Inspection, observation: Observation) -> None:
    typed = list(observation.as_typed) or list(observation.readings)
    Reading.objects.bulk_create(
        Reading(inspection=inspection, position=number, values=values, as_typed=as_typed)
        for number, (values, as_typed) in enumerate(
            zip(observation.readings, typed, strict=True), start=1
        )
    )


def _written(inspection: Inspection) -> list[Model]:
    """Every row that recording an inspection writes."""
    return [
        inspection,
        *inspection.readings.all(),
        *inspection.instrument_uses.all(),
        *inspection.batch_uses.all(),
        *inspection.qualification_uses.all(),
    ]
