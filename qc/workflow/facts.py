"""Gathers from the rows what the guards ask."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from django.db.models import F

from qc.engine.lifecycle import Facts
from qc.engine.plan import BatchUse, InstrumentUse, Party, StepFacts
from qc.evidence.models import Evidence
from qc.records.models import Repair, Signature
from qc.records.progress import StepProgress, day_at_site
from qc.records.reports import reports_by_repair
from qc.workflow.doubts import Progress, doubts_of
from qc.workflow.report_facts import open_reports


def gather(
    repair: Repair,
    progress: tuple[StepProgress, ...],
    *,
    at: datetime,
    actor: int = 0,
    position: int | None = None,
    digest: str | None = None,
) -> Facts:
    """The facts of a repair at a moment. With `digest`, whether all signatures are on it."""
    facts = gather_each({repair: progress}, at=at, actor=actor)[repair.pk]
    holds = digest is None or all(s.record_digest == digest for s in signatures_of(repair))
    return replace(facts, position=position, digest_holds=holds)


def gather_each(progress: Progress, *, at: datetime, actor: int = 0) -> dict[int, Facts]:
    """The facts of several repairs, by repair id, in a number of queries that stays the same."""
    held, signers, doubts = evidence_held(progress), _signers(progress), doubts_of(progress)
    reports = reports_by_repair(progress)
    return {
        repair.pk: Facts(
            steps=tuple(
                replace(
                    _step_facts(step, held[repair.pk], ZoneInfo(repair.project.time_zone)),
                    doubts=tuple(doubts[repair.pk, step.step.key]),
                )
                for step in steps
            ),
            reports=open_reports(reports[repair.pk], steps),
            at=at,
            day=at.astimezone(ZoneInfo(repair.project.time_zone)).date(),
            signatures=signers[repair.pk],
            actor=actor,
        )
        for repair, steps in progress.items()
    }


def is_under_review(facts: Facts) -> bool:
    """Whether something that came to light on a released record waits to be dealt with."""
    doubts = (doubt for step in facts.steps for doubt in step.doubts)
    return bool(facts.reports) or any(doubt.stands_on(facts.day) for doubt in doubts)


def signatures_of(repair: Repair) -> tuple[Signature, ...]:
    """The signatures that count: those of the current round."""
    return tuple(Signature.objects.filter(repair=repair, signing_round=repair.signing_round))


def _signers(repairs: Iterable[Repair]) -> dict[int, dict[Party, int]]:
    """Who has signed for which party in the current round, by repair id."""
    found: dict[int, dict[Party, int]] = defaultdict(dict)
    current = Signature.objects.filter(signing_round=F("repair__signing_round"))
    for signature in current.filter(repair__in=repairs):
        found[signature.repair_id][Party(signature.party)] = signature.signed_by_id
    return found


def evidence_held(repairs: Iterable[Repair]) -> dict[int, frozenset[tuple[str, str]]]:
    """(step key, requirement) of every piece of evidence on record, by repair id."""
    found: dict[int, set[tuple[str, str]]] = defaultdict(set)
    rows = Evidence.objects.filter(repair__in=repairs, step__isnull=False)
    for repair, key, requirement in rows.values_list("repair", "step__key", "requirement"):
        found[repair].add((key, requirement))
    return defaultdict(frozenset, {repair: frozenset(held) for repair, held in found.items()})


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
        conceded_until=progress.conceded_until,
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
