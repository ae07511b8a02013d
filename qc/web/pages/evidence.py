"""The evidence of a repair: by step what is asked for, what is there, and the way to add it."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from django.http import QueryDict
from django.urls import reverse
from django.utils.datastructures import MultiValueDict

from qc.engine.lifecycle import Act
from qc.engine.wording import moment_text
from qc.evidence.models import Evidence
from qc.records.models import PlanStep
from qc.web.forms.evidence import EvidenceForm
from qc.web.loading import RepairInHand
from qc.web.pages.gate import blockers_shown
from qc.web.pages.places import crumbs, party_line

_OTHER = {"key": "", "label": "Other files"}


def evidence_page(hand: RepairInHand, sent: EvidenceForm | None) -> dict[str, Any]:
    """Everything the template writes. `sent` is a form that was not taken, shown in its place."""
    held = files_by_step(hand)
    missing = [blocker for blocker in hand.open_items if blocker.rule == "evidence"]
    adds = hand.may(Act.ADD_EVIDENCE)
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "crumbs": crumbs(hand, ("Evidence", "")),
        "missing": blockers_shown(hand, missing),
        "steps": [
            _step(hand, progress.step, held[progress.step.key], sent, adds)
            for progress in hand.progress
        ],
        "other_form": _form(_steps(hand), "", sent, adds),
        "adds": adds,
        "form": sent,
        "count": sum(map(len, held.values())),
    }


def sent_form(hand: RepairInHand, data: QueryDict, files: MultiValueDict[str, Any]) -> EvidenceForm:
    """The form that was sent, for one thing a step asks for or for any step."""
    wanted = {(s.position, item["key"]): s for s in _steps(hand) for item in s.evidence}
    position, key = data.get("position", ""), data.get("requirement", "")
    step = wanted.get((int(position), key)) if position.isdecimal() else None
    steps = [step] if step else _steps(hand)
    return EvidenceForm(steps, data, files, requirement=key)


def files_by_step(hand: RepairInHand) -> Mapping[str, list[tuple[str, dict[str, Any]]]]:
    """(requirement, file) of everything held, by the key of the step, in one query."""
    found: dict[str, list[tuple[str, dict[str, Any]]]] = defaultdict(list)
    for row in Evidence.objects.filter(repair=hand.repair).select_related("step"):
        found[row.step.key if row.step else ""].append((row.requirement, file_shown(hand, row)))
    return found


def wants_of(step: PlanStep, held: Sequence[tuple[str, Mapping[str, Any]]]) -> list[dict[str, Any]]:
    """What a step asks for with the files held for each, and last other files where there are."""
    keys = {item["key"] for item in step.evidence}
    by_key = [(key if key in keys else "", file) for key, file in held]
    wants = [
        {**item, "files": [file for key, file in by_key if key == item["key"]]}
        for item in (*step.evidence, _OTHER)
    ]
    return wants if wants[-1]["files"] else wants[:-1]


def file_shown(hand: RepairInHand, row: Evidence) -> dict[str, Any]:
    """A file as the part draws it."""
    address = reverse("evidence_file", args=[hand.repair.pk, row.pk])
    return {
        "name": row.caption or row.filename,
        "kind": row.filename if row.caption else "",
        "digest": row.sha256,
        "url": address,
        "picture_url": address if row.content_type.startswith("image/") else "",
        "alt": row.caption or row.filename,
        "size": row.size,
        "by": f"{row.uploaded_by_name} ({row.party})",
        "at": moment_text(row.uploaded_at, hand.zone),
    }


def _step(
    hand: RepairInHand,
    step: PlanStep,
    held: Sequence[tuple[str, Mapping[str, Any]]],
    sent: EvidenceForm | None,
    adds: bool,
) -> dict[str, Any]:
    wants = wants_of(step, held)
    for want in wants:
        want["form"] = _form([step], want["key"], sent, adds) if want["key"] else None
    asked = [want for want in wants if want["key"]]
    return {
        "position": step.position,
        "title": step.title,
        "wants": wants,
        "asked": len(asked),
        "there": sum(bool(want["files"]) for want in asked),
    }


def _form(
    steps: Sequence[PlanStep], key: str, sent: EvidenceForm | None, adds: bool
) -> EvidenceForm | None:
    """The form for one thing: what was sent for it and not taken, else a new one."""
    fresh = EvidenceForm(steps, requirement=key)
    if sent is not None and sent.auto_id == fresh.auto_id:
        return sent
    return fresh if adds else None


def _steps(hand: RepairInHand) -> list[PlanStep]:
    return [progress.step for progress in hand.progress]
