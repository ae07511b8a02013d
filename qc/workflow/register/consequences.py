"""What a failed check, a withdrawn calibration or a recalled batch does to the repairs it touches.

The register's act holds the lock of the project; the repairs are locked after it, in the order of
their ids, so that two such acts never wait for each other.
"""

from collections.abc import Iterator, Mapping, Sequence
from uuid import uuid5

from qc.engine.lifecycle import Act
from qc.engine.metrology import Span
from qc.records.models import Inspection, Nonconformance, PlanStep, Repair
from qc.records.progress import StepProgress, progress_by_repair
from qc.records.queries import plans_in_force
from qc.workflow.deed import Deed, begin, finish, void_signatures
from qc.workflow.faults import Fault, fault_of
from qc.workflow.register_deed import RegisterDeed
from qc.workflow.reports import open_report
from qc.workflow.trust import Progress, fault_row, moments_of, spans_by_instrument, suspects

Doubted = Mapping[PlanStep, Sequence[Inspection]]
"""The standing inspections of a repair that a fault puts in doubt, by step."""


def doubt_readings(deed: RegisterDeed, fault: Fault, before: Sequence[Span] = ()) -> None:
    """Open a report at every step the fault newly reaches; a record being signed goes to site.

    `before` are the times in which the instrument was not to be trusted already.
    """
    for repair, doubted in _newly_doubted(fault, before):
        _doubt(deed, repair, fault, doubted)


def _doubt(register: RegisterDeed, repair: Repair, fault: Fault, doubted: Doubted) -> None:
    deed = begin(
        Act.DOUBT_READINGS,
        repair_id=repair.pk,
        actor=register.actor,
        at=register.at,
        act_id=uuid5(register.act_id, str(repair.pk)),
    )
    reports = report_doubt(deed, fault, doubted)
    returned = void_signatures(deed, _sentence(fault.statement))
    finish(deed, *reports, returned)


def report_doubt(deed: Deed, fault: Fault, doubted: Doubted) -> list[Nonconformance]:
    """Open a report at each step."""
    return [
        open_report(
            deed.repair,
            origin=fault.origin,
            step=step,
            inspection=inspections[-1],
            statement=_statement(fault, step, inspections),
            party=deed.party,
            actor=deed.actor,
            at=deed.at,
        )
        for step, inspections in doubted.items()
    ]


def _statement(fault: Fault, step: PlanStep, inspections: Sequence[Inspection]) -> str:
    count = len(inspections)
    what = "1 inspection rests" if count == 1 else f"{count} inspections rest"
    return f"Step {step.position}, {step.title}: {fault.statement}. {what} on it."


def _sentence(statement: str) -> str:
    return f"{statement[:1].upper()}{statement[1:]}."


def _newly_doubted(fault: Fault, before: Sequence[Span]) -> Iterator[tuple[Repair, Doubted]]:
    """The repairs that the fault reaches, locked in the order of their ids."""
    used = (
        {"inspections__instrument_uses__instrument": fault.instrument}
        if fault.instrument
        else {"inspections__batch_uses__batch": fault.batch}
    )
    reached = sorted(set(Repair.objects.filter(**used).values_list("pk", flat=True)))
    locked = list(Repair.objects.select_for_update().filter(pk__in=reached).order_by("pk"))
    progress = progress_by_repair(plans_in_force(reached), with_readings=False)
    held: Progress = {repair: progress[repair.pk] for repair in locked}
    found = _by_instrument(held, fault, before) if fault.instrument else _by_batch(held, fault)
    for repair in locked:
        if doubted := found[repair.pk]:
            yield repair, doubted


def _by_instrument(
    held: Progress, fault: Fault, before: Sequence[Span]
) -> dict[int, dict[PlanStep, list[Inspection]]]:
    instrument = fault.instrument or 0
    known = {s.inspection.pk for s in suspects(held, {instrument: tuple(before)})}
    found: dict[int, dict[PlanStep, list[Inspection]]] = {repair.pk: {} for repair in held}
    for suspect in suspects(held, spans_by_instrument([instrument])):
        inspections = found[suspect.repair.pk].setdefault(suspect.step, [])
        if suspect.inspection.pk not in known and suspect.inspection not in inspections:
            inspections.append(suspect.inspection)
    return {pk: {step: new for step, new in steps.items() if new} for pk, steps in found.items()}


def _by_batch(held: Progress, fault: Fault) -> dict[int, dict[PlanStep, list[Inspection]]]:
    return {
        repair.pk: {
            progress.step: used for progress in steps if (used := _with_batch(progress, fault))
        }
        for repair, steps in held.items()
    }


def _with_batch(progress: StepProgress, fault: Fault) -> list[Inspection]:
    return [
        inspection
        for inspection in progress.standing
        if any(use.batch_id == fault.batch for use in inspection.batch_uses.all())
    ]


def report_known_faults(deed: Deed, step: PlanStep, inspection: Inspection) -> list[Nonconformance]:
    """Reports on what is known to be wrong with the means of an inspection just recorded."""
    return [
        report
        for fault in _known_faults(inspection)
        for report in report_doubt(deed, fault, {step: [inspection]})
    ]


def _known_faults(inspection: Inspection) -> Iterator[Fault]:
    instruments = [use.instrument_id for use in inspection.instrument_uses.all()]
    moments = moments_of(inspection)
    for spans in spans_by_instrument(instruments).values():
        for span in spans:
            if any(span.covers(moment) for moment in moments):
                yield fault_of(fault_row(span))
    for use in inspection.batch_uses.select_related("batch__recall"):
        if hasattr(use.batch, "recall"):
            yield fault_of(use.batch.recall)
