"""Where an instrument or a batch was used, what of it is in doubt, and who must act."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from qc.engine.lifecycle import Facts, Status
from qc.engine.wording import moment_text
from qc.records.models import Batch, Certificate, Inspection, Instrument, Repair
from qc.records.progress import StepProgress, progress_by_repair
from qc.records.queries import plans_in_force
from qc.web.pages.registers import ProjectInHand
from qc.workflow.facts import gather_each, is_under_review
from qc.workflow.trust import spans_by_instrument, suspects

COLUMNS = [
    {"label": "Repair", "tight": True},
    {"label": "Step"},
    {"label": "Observed"},
    {"label": "State"},
    {"label": "Who must act"},
    {"label": "Certificate"},
]


@dataclass(frozen=True)
class _Use:
    repair: Repair
    progress: StepProgress
    inspection: Inspection


def uses_of_instrument(hand: ProjectInHand, instrument: Instrument) -> dict[str, Any]:
    """The standing inspections made with an instrument, those in doubt first."""
    repairs = _repairs(hand, inspections__instrument_uses__instrument=instrument)
    found = _progress(repairs)
    spans = spans_by_instrument([instrument.pk])
    doubted = {s.inspection.pk for s in suspects(found, spans)}
    uses = [
        use
        for use in _standing(found)
        if any(u.instrument_id == instrument.pk for u in use.inspection.instrument_uses.all())
    ]
    return _shown(hand, found, uses, doubted, f"instrument/{instrument.pk}")


def uses_of_batch(hand: ProjectInHand, batch: Batch) -> dict[str, Any]:
    """The standing inspections of work that a batch went into."""
    found = _progress(_repairs(hand, inspections__batch_uses__batch=batch))
    uses = [
        use
        for use in _standing(found)
        if any(u.batch_id == batch.pk for u in use.inspection.batch_uses.all())
    ]
    doubted = {use.inspection.pk for use in uses} if hasattr(batch, "recall") else set()
    return _shown(hand, found, uses, doubted, f"batch/{batch.pk}")


def _repairs(hand: ProjectInHand, **used: Any) -> list[Repair]:
    return list(
        Repair.objects.filter(project=hand.project, **used)
        .select_related("project")
        .distinct()
        .order_by("number")
    )


def _progress(repairs: Iterable[Repair]) -> dict[Repair, tuple[StepProgress, ...]]:
    by_id = {repair.pk: repair for repair in repairs}
    found = progress_by_repair(plans_in_force(by_id), with_readings=False)
    return {repair: found[pk] for pk, repair in by_id.items()}


def _standing(found: dict[Repair, tuple[StepProgress, ...]]) -> Iterator[_Use]:
    for repair, steps in found.items():
        for progress in steps:
            for inspection in progress.standing:
                yield _Use(repair, progress, inspection)


def _shown(
    hand: ProjectInHand,
    found: dict[Repair, tuple[StepProgress, ...]],
    uses: list[_Use],
    doubted: set[int],
    place: str,
) -> dict[str, Any]:
    facts = gather_each(found, at=hand.now)
    issued = {
        c.repair_id: c for c in Certificate.objects.filter(repair__in=found).order_by("revision")
    }
    ordered = sorted(uses, key=lambda use: use.inspection.pk not in doubted)
    rows = []
    for use in ordered:
        is_doubted = use.inspection.pk in doubted
        state, word, who = _state(use, facts[use.repair.pk], place) if is_doubted else _SOUND
        rows.append(
            {
                "cells": [
                    {
                        "text": use.repair.number,
                        "url": reverse("repair", args=[use.repair.pk]),
                    },
                    {
                        "text": str(use.progress.step),
                        "url": reverse("step", args=[use.repair.pk, use.progress.step.position]),
                    },
                    {"text": moment_text(use.inspection.observed_at, hand.zone)},
                    {"text": word, "stamp_kind": state},
                    {"text": who},
                    {"text": _certificate(use.repair, issued, facts[use.repair.pk])},
                ]
            }
        )
    return {"use_columns": COLUMNS, "use_rows": rows, "doubted": len(doubted)}


_SOUND = ("conforms", "Holds", "")


def _state(use: _Use, facts: Facts, place: str) -> tuple[str, str, str]:
    """(kind of mark, words, who must act) for an inspection that is in doubt."""
    position = use.progress.step.position
    doubts = [d for s in facts.steps if s.position == position for d in s.doubts]
    standing = [d for d in doubts if d.place == place and d.stands_on(facts.day)]
    reports = [report for report in facts.reports if report.step == position]
    if reports:
        numbers = ", ".join(str(report.number) for report in reports)
        who = f"{reports[0].party.capitalize()}: nonconformance report {numbers}"
        return "does_not_conform", "In doubt", who
    if standing:
        return "does_not_conform", "In doubt", str(standing[0].party.capitalize())
    return "incomplete", "Accepted by concession", ""


def _certificate(repair: Repair, issued: dict[int, Certificate], facts: Facts) -> str:
    certificate = issued.get(repair.pk)
    if certificate is None or repair.stands_at is not Status.RELEASED:
        return ""
    state = " (under review)" if is_under_review(facts) else ""
    return f"{certificate.number} revision {certificate.revision}{state}"
