"""The record of a repair from beginning to end, as it is read and as it is signed."""

from typing import Any

from qc.engine.wording import moment_text
from qc.ledger.chain import head_of, repair_chain
from qc.records.models import Signature
from qc.records.progress import StepProgress
from qc.web.loading import RepairInHand
from qc.web.pages.about import component_shown, defect_shown, design_shown, parties_shown
from qc.web.pages.evidence import files_by_step, wants_of
from qc.web.pages.gate import distance, returns_shown, signatures_shown
from qc.web.pages.history import series_shown
from qc.web.pages.home import standing_word, status_mark
from qc.web.pages.places import crumbs, party_line
from qc.web.pages.plan import agreement
from qc.web.pages.points import points_shown
from qc.web.pages.shift import shift_of
from qc.web.pages.step import asked_lines
from qc.web.pages.steps import state_of
from qc.web.templatetags.marks import WORDS
from qc.workflow.document_plan import agreed_revisions, removed_by, removed_steps


def record_page(hand: RepairInHand) -> dict[str, Any]:
    """Everything the template of the record writes."""
    length, head = head_of(repair_chain(hand.repair.pk))
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "crumbs": crumbs(hand, ("Record", "")),
        "state": status_mark(hand),
        "status_word": standing_word(hand),
        "distance": distance(hand),
        "signatures": signatures_shown(hand),
        "void_signatures": void_signatures(hand),
        "returns": returns_shown(hand),
        "ledger_length": length,
        "ledger_head": head,
        **record_shown(hand),
    }


def record_shown(hand: RepairInHand) -> dict[str, Any]:
    """What is written of the repair, its plan and every step, in a fixed number of queries."""
    held = files_by_step(hand)
    about = [
        *component_shown(hand.repair.asset),
        *defect_shown(hand.repair),
        *design_shown(hand.repair),
        *parties_shown(hand.repair.project),
        *_plan(hand),
    ]
    steps = [_step(hand, progress, held[progress.step.key]) for progress in hand.progress]
    rows = [_row(hand, progress) for progress in hand.progress]
    return {
        "about": about,
        "columns": _COLUMNS,
        "rows": rows,
        "steps": steps,
        "removed": _removed(hand),
    }


def _removed(hand: RepairInHand) -> list[dict[str, Any]]:
    """The steps that a revision took out of the plan, with what was recorded on them."""
    agreed = agreed_revisions(hand.repair)
    shown = []
    for progress in removed_steps(hand.repair, agreed):
        series = series_shown(hand, progress)
        for inspection in (i for one in series for i in one["inspections"]):
            inspection["correct_url"] = ""
        by = removed_by(progress, agreed)
        shown.append({"title": progress.step.title, "by": by, "series": series})
    return shown


def void_signatures(hand: RepairInHand) -> list[dict[str, str]]:
    """Signatures that no longer count: the record was sent back after them."""
    gone = Signature.objects.filter(repair=hand.repair, signing_round__lt=hand.repair.signing_round)
    return [
        {
            "term": f"{moment_text(s.signed_at, hand.zone)}, {s.printed_name} ({s.party})",
            "gone": f"{s.meaning}, for {s.organisation}",
            "definition": "No longer counts.",
        }
        for s in gone
    ]


def _plan(hand: RepairInHand) -> list[dict[str, str]]:
    plan = hand.plan
    return [
        {"term": "Plan", "definition": f"{plan.title}, revision {plan.revision}"},
        {"term": "Agreed by", "definition": agreement(hand) or "nobody yet"},
    ]


def _step(
    hand: RepairInHand, progress: StepProgress, held: list[tuple[str, dict[str, Any]]]
) -> dict[str, Any]:
    step = progress.step
    return {
        "step": step,
        "state": state_of(hand, progress),
        "asked": asked_lines(hand, step),
        "series": series_shown(hand, progress),
        "shift": shift_of(hand, progress),
        "points": points_shown(hand, progress),
        "wants": wants_of(step, held),
    }


_COLUMNS = (
    {"label": "Step"},
    {"label": "Outcome"},
    {"label": "Readings", "numeric": True},
    {"label": "Points"},
    {"label": "Evidence"},
)


def _row(hand: RepairInHand, progress: StepProgress) -> dict[str, Any]:
    """A step in a line: outcome, how much was read, points still open, evidence still missing."""
    step, state = progress.step, state_of(hand, progress)
    facts = next(f for f in hand.facts.steps if f.position == step.position)
    still_open = [f"{p.intervention}, {p.party}: open" for p in progress.points if not p.closed]
    points = "; ".join(still_open) or ("all closed" if progress.points else "")
    missing = ", ".join(facts.evidence_missing)
    evidence = f"missing: {missing}" if missing else ("complete" if step.evidence else "")
    return {
        "state": state if progress.outcome else "",
        "cells": [
            {"text": str(step), "url": f"#step-{step.position}"},
            {"text": WORDS[state], "stamp_kind": state},
            {"text": str(len(progress.standing_readings))},
            {"text": points},
            {"text": evidence},
        ],
    }
