"""With what and by whom an inspection was made: instruments, batches, qualified people."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from qc.accounts.models import Project
from qc.engine.lifecycle import Refused
from qc.engine.plan import Blocker
from qc.records.models import (
    Batch,
    BatchUse,
    Inspection,
    Instrument,
    InstrumentUse,
    Qualification,
    QualificationUse,
    Repair,
)
from qc.records.progress import StepProgress
from qc.workflow.deed import Deed
from qc.workflow.refusals import on_step


@dataclass(frozen=True, kw_only=True)
class Means:
    """The rows of the project's register that an inspection names."""

    instruments: Sequence[Instrument]
    batches: Sequence[Batch]
    qualifications: Sequence[Qualification]


def lock_register(repair_id: int) -> None:
    """Lock the repair's project, before the repair: its register stays as it is for this act.

    Without it an instrument's failed check and an inspection made with it could each miss the
    other.
    """
    project = Repair.objects.values_list("project_id", flat=True).get(pk=repair_id)
    Project.objects.select_for_update().get(pk=project)


def means_of(
    deed: Deed,
    progress: StepProgress,
    *,
    instruments: Sequence[int],
    batches: Sequence[int],
    applicators: Sequence[int],
    observed_at: datetime,
) -> Means:
    """The rows with these ids, and the inspector's own qualifications that hold on the day.

    Refused where one is not of the project, or what the step asks for is not named.
    """
    return Means(
        instruments=_instruments(deed, progress, set(instruments)),
        batches=_batches(deed, progress, set(batches)),
        qualifications=[
            *_applicators(deed, progress, set(applicators)),
            *_own(deed, progress, observed_at),
        ],
    )


def save_means(inspection: Inspection, means: Means) -> None:
    """Keep what an inspection was made with."""
    InstrumentUse.objects.bulk_create(
        InstrumentUse(inspection=inspection, instrument=one) for one in means.instruments
    )
    BatchUse.objects.bulk_create(
        BatchUse(inspection=inspection, batch=one) for one in means.batches
    )
    QualificationUse.objects.bulk_create(
        QualificationUse(inspection=inspection, qualification=one) for one in means.qualifications
    )


def _instruments(deed: Deed, progress: StepProgress, ids: set[int]) -> list[Instrument]:
    found = list(Instrument.objects.filter(project=deed.repair.project_id, pk__in=ids))
    _all_found(progress, "instruments", len(found) == len(ids), "an instrument")
    asked = progress.step.instrument_kinds
    if asked and not any(instrument.kind in asked for instrument in found):
        kinds = " or ".join(kind.replace("_", " ") for kind in asked)
        raise Refused(on_step(progress, "instruments", f"name the {kinds} used"))
    return found


def _batches(deed: Deed, progress: StepProgress, ids: set[int]) -> list[Batch]:
    found = list(Batch.objects.filter(project=deed.repair.project_id, pk__in=ids))
    _all_found(progress, "batches", len(found) == len(ids), "a batch")
    if progress.step.needs_batch and not found:
        raise Refused(on_step(progress, "batches", "name the batch used"))
    return found


def _applicators(deed: Deed, progress: StepProgress, ids: set[int]) -> list[Qualification]:
    found = list(
        Qualification.objects.filter(project=deed.repair.project_id, trade="applicator", pk__in=ids)
    )
    _all_found(progress, "applicators", len(found) == len(ids), "an applicator")
    return found


def _own(deed: Deed, progress: StepProgress, observed_at: datetime) -> list[Qualification]:
    """The inspector's qualifications that hold on the day, where the step asks for any."""
    if "inspector" not in progress.step.qualifications:
        return []
    day = observed_at.astimezone(ZoneInfo(deed.repair.project.time_zone)).date()
    held = Qualification.objects.filter(
        project=deed.repair.project_id,
        trade="inspector",
        user=deed.actor,
        valid_from__lte=day,
        valid_until__gte=day,
    )
    return list(held)


def _all_found(progress: StepProgress, rule: str, found: bool, what: str) -> None:
    if not found:
        raise Refused(_foreign(progress, rule, what))


def _foreign(progress: StepProgress, rule: str, what: str) -> Blocker:
    return on_step(progress, rule, f"{what} is not of this project")
