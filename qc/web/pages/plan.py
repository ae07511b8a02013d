"""The inspection and test plan as a document, and what a revision changed in it."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django.urls import reverse

from qc.engine.lifecycle import Act
from qc.engine.plan import Intervention, Party
from qc.engine.wording import Asked, asked_of, moment_text
from qc.records.data_sheets import sheets_in_force
from qc.records.models import DataSheet, Plan, PlanStep
from qc.records.queries import is_agreed
from qc.web.forms.instruments import kind_label
from qc.web.forms.offers import EVERY_OFFER, is_offered
from qc.web.forms.plan import AgreeForm, CriteriaForm
from qc.web.loading import RepairInHand
from qc.web.pages.places import crumbs, party_line

INTERVENTIONS = {
    Intervention.HOLD: "work does not go past the step until the party releases it",
    Intervention.WITNESS: "the party is called to watch, and attends or waives",
    Intervention.REVIEW: "the party reads what was recorded before the release",
    Intervention.SURVEILLANCE: "the party may look at any time; nothing waits for it",
}
"""What each intervention asks, in words."""


def plan_page(hand: RepairInHand, form: AgreeForm) -> dict[str, Any]:
    """Everything the template writes."""
    plan = hand.plan
    steps = list(plan.steps.all())
    sheets = sheets_in_force(hand.repair.project_id)
    form.show(plan.revision)
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "plan": plan,
        "crumbs": crumbs(hand, ("Plan", "")),
        "about": _about(hand),
        "parties": [party.capitalize() for party in Party],
        "steps": [_step(hand, step, sheets) for step in steps],
        "interventions": [
            {"term": f"{code[0].upper()} {code.capitalize()}", "definition": said}
            for code, said in INTERVENTIONS.items()
        ],
        "changes": list(_changes(hand, steps)),
        "may_agree": hand.may(Act.AGREE_PLAN) and not is_agreed(hand.plan),
        "may_revise": hand.may(Act.REVISE_PLAN) and not is_agreed(hand.plan),
        "form": form,
    }


def revise_page(hand: RepairInHand, step: PlanStep, form: CriteriaForm) -> dict[str, Any]:
    """Everything the template writes."""
    plan_url = reverse("plan", args=[hand.repair.pk])
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "step": step,
        "checks": step.checks,
        "crumbs": crumbs(hand, ("Plan", plan_url), (f"Limits of step {step.position}", "")),
        "plan": hand.plan,
        "plan_url": plan_url,
        "every_offer": EVERY_OFFER,
        "form": form,
    }


def agreement(hand: RepairInHand) -> str:
    """Who agreed the plan and when; "" while nobody has."""
    if not is_agreed(hand.plan):
        return ""
    agreed = hand.plan.agreement
    return f"{agreed.agreed_by_name} (client), {moment_text(agreed.agreed_at, hand.zone)}"


def _about(hand: RepairInHand) -> list[dict[str, str]]:
    plan = hand.plan
    drafted = f"{plan.created_by.printed_name}, {moment_text(plan.created_at, hand.zone)}"
    facts = [
        ("Plan", plan.title),
        ("Revision", str(plan.revision)),
        ("Reason for this revision", plan.reason),
        ("Drafted by", drafted),
        ("Agreed by", agreement(hand) or "nobody yet: the client agrees the plan"),
    ]
    return [{"term": term, "definition": said} for term, said in facts if said]


def _step(hand: RepairInHand, step: PlanStep, sheets: Sequence[DataSheet]) -> dict[str, Any]:
    return {
        "position": step.position,
        "title": step.title,
        "activity": step.activity,
        "cautions": step.cautions,
        "characteristic": step.checks.title,
        "reference": step.reference,
        "sampling": step.sampling,
        "asked": _asked(hand, step),
        "points": [(party.capitalize(), step.points.get(party, "")) for party in Party],
        "evidence": [item["label"] for item in step.evidence],
        "means": _means(step),
        "offers": len([f for f in step.checks.criteria if is_offered(f, step, sheets)]),
        "revise_url": reverse("revise_step", args=[hand.repair.pk, step.position]),
    }


def _means(step: PlanStep) -> str:
    kinds = [kind_label(kind).lower() for kind in step.instrument_kinds]
    batch = ["batch of the material"] if step.needs_batch else []
    people = [f"{trade}: {' and '.join(s)}" for trade, s in step.qualifications.items() if s]
    return ", ".join([*([" or ".join(kinds)] if kinds else []), *batch, *people])


def _asked(hand: RepairInHand, step: PlanStep) -> tuple[Asked, ...]:
    return asked_of(step.checks, step.criteria, step.sources, hand.zone)


def _changes(hand: RepairInHand, steps: list[PlanStep]) -> Iterator[dict[str, str]]:
    """What differs from the revision before, a line a limit."""
    before = Plan.objects.filter(repair=hand.repair, revision=hand.plan.revision - 1).first()
    if before is None:
        return
    old = {step.key: _limits(hand, step) for step in before.steps.all()}
    for step in steps:
        was, now = old.get(step.key, {}), _limits(hand, step)
        for criterion in step.checks.criteria:
            before_it, after_it = was.get(criterion.name), now.get(criterion.name)
            if before_it != after_it:
                yield {
                    "term": f"{step.position} {step.title}: {criterion.label}",
                    "definition": f"{_in_words(before_it)} became {_in_words(after_it)}",
                }


def _limits(hand: RepairInHand, step: PlanStep) -> Mapping[str, Asked]:
    return {asked.name: asked for asked in _asked(hand, step)}


def _in_words(asked: Asked | None) -> str:
    if asked is None:
        return "no limit"
    said = "; ".join(asked.lines) or asked.text
    return f"{said} ({asked.source})"
