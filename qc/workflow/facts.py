"""Gathers from the rows what the guards ask."""

from collections.abc import Iterable
from zoneinfo import ZoneInfo

from qc.engine.lifecycle import Facts
from qc.engine.plan import BatchUse, InstrumentUse, Party, StepFacts
from qc.evidence.models import Evidence
from qc.records.models import Repair, Signature
from qc.records.progress import StepProgress, day_at_site


def gather(
    repair: Repair,
    progress: tuple[StepProgress, ...],
    *,
    actor: int = 0,
    position: int | None = None,
    digest: str | None = None,
) -> Facts:
    """The facts of a repair. With `digest`, whether all signatures are on that content."""
    zone = ZoneInfo(repair.project.time_zone)
    held = evidence_held(repair)
    signatures = signatures_of(repair)
    return Facts(
        steps=tuple(_step_facts(step, held, zone) for step in progress),
        signatures={Party(s.party): s.signed_by_id for s in signatures},
        actor=actor,
        position=position,
        digest_holds=digest is None or all(s.record_digest == digest for s in signatures),
    )


def signatures_of(repair: Repair) -> tuple[Signature, ...]:
    """The signatures that count: those of the current round."""
    return tuple(Signature.objects.filter(repair=repair, signing_round=repair.signing_round))


def evidence_held(repair: Repair) -> frozenset[tuple[str, str]]:
    """(step key, requirement) of every piece of evidence on record."""
    rows = Evidence.objects.filter(repair=repair, step__isnull=False)
    return frozenset(rows.values_list("step__key", "requirement"))


def evidence_missing(progress: StepProgress, held: frozenset[tuple[str, str]]) -> tuple[str, ...]:
    """The labels of the evidence that the step still asks for."""
    step = progress.step
    return tuple(item["label"] for item in step.evidence if (step.key, item["key"]) not in held)


def _step_facts(
    progress: StepProgress, held: frozenset[tuple[str, str]], zone: ZoneInfo
) -> StepFacts:
    return StepFacts(
        position=progress.step.position,
        title=progress.step.title,
        outcome=progress.outcome,
        points=progress.points,
        evidence_missing=evidence_missing(progress, held),
        instruments=tuple(_instruments(progress, zone)),
        batches=tuple(_batches(progress, zone)),
    )


def _instruments(progress: StepProgress, zone: ZoneInfo) -> Iterable[InstrumentUse]:
    uses = {
        (use.instrument, day_at_site(inspection, zone))
        for inspection in progress.standing
        for use in inspection.instrument_uses.all()
    }
    for instrument, day in sorted(uses, key=lambda use: (use[0].identifier, use[1])):
        yield InstrumentUse(
            identifier=instrument.identifier,
            used_on=day,
            in_calibration=instrument.calibration_on(day) is not None,
            covered_until=instrument.last_due(),
        )


def _batches(progress: StepProgress, zone: ZoneInfo) -> Iterable[BatchUse]:
    uses = {
        (use.batch, day_at_site(inspection, zone))
        for inspection in progress.standing
        for use in inspection.batch_uses.all()
    }
    for batch, day in sorted(uses, key=lambda use: (use[0].number, use[1])):
        yield BatchUse(number=batch.number, used_on=day, expiry=batch.expiry)
