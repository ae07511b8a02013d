"""The inspection and test plan as a document, and what a revision changed in it."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from django.db.models import QuerySet
from django.urls import reverse

from qc.engine.lifecycle import Act
from qc.engine.plan import Party
from qc.engine.wording import Asked, asked_of, moment_text
from qc.records.models import Plan, PlanComment, PlanStep, Repair
from qc.records.plan_steps import steps_of
from qc.records.queries import draft_of, is_agreed
from qc.records.templates import SHIPPED
from qc.web.forms.instruments import kind_label
from qc.web.forms.plan import AgreeForm
from qc.web.forms.plan_act import CommentForm
from qc.web.loading import RepairInHand
from qc.web.pages.places import crumbs, party_line
from qc.web.pages.plan_changes import changes_shown, window_text
from qc.web.pages.points import terms_changes, terms_shown
from qc.workflow.plan_markup import markup_of


def plan_page(hand: RepairInHand, form: AgreeForm, plan: Plan | None = None) -> dict[str, Any]:
    """Everything the template writes of the plan in force, or of another revision."""
    plan = plan or hand.plan
    waiting = draft_of(hand.repair)
    is_draft = waiting is not None and waiting.pk == plan.pk
    comments = comments_shown(hand, plan)
    form.show(plan.revision)
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "plan": plan,
        "state": _state(hand, plan, waiting),
        "crumbs": _crumbs(hand, plan),
        "about": _about(hand, plan),
        "parties": [party.capitalize() for party in Party],
        "steps": [_step(hand, step, comments.get(step.key, [])) for step in plan.steps.all()],
        "interventions": terms_shown(plan.terms),
        "changes": _changes(hand, plan),
        "comments": comments.get("", []),
        "remarked": sum(len(found) for found in comments.values()),
        "may_agree": hand.may(Act.AGREE_PLAN) and is_draft,
        "may_mark_up": hand.may(Act.REVISE_PLAN),
        "may_comment": hand.may(Act.COMMENT_PLAN) and (is_draft or plan.pk == hand.plan.pk),
        "may_save": hand.party is Party.CONTRACTOR,
        "marked_up": hand.party is Party.CONTRACTOR and markup_of(hand.repair) is not None,
        "waiting": waiting if waiting and not is_draft and plan.pk == hand.plan.pk else None,
        "waiting_for": "you" if hand.may(Act.AGREE_PLAN) else "the client",
        "form": form,
    }


def history_page(hand: RepairInHand) -> dict[str, Any]:
    """Every revision with what it changed, the latest first."""
    plans = list(_revisions(hand.repair))
    waiting = draft_of(hand.repair)
    comments = PlanComment.objects.filter(plan__repair=hand.repair).select_related("plan")
    by_plan: dict[int, list[PlanComment]] = defaultdict(list)
    for comment in comments:
        by_plan[comment.plan_id].append(comment)
    plan_url = reverse("plan", args=[hand.repair.pk])
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "crumbs": crumbs(hand, ("Plan", plan_url), ("Revisions", "")),
        "revisions": [
            {
                "plan": plan,
                "state": _state(hand, plan, waiting),
                "url": reverse("plan_revision", args=[hand.repair.pk, plan.revision]),
                "about": _about(hand, plan),
                "changes": _between(hand, _compared_with(plan, plans), plan),
                "comments": [_comment(hand, comment, plan) for comment in by_plan[plan.pk]],
            }
            for plan in reversed(plans)
        ],
    }


def comment_page(hand: RepairInHand, plan: Plan, form: CommentForm) -> dict[str, Any]:
    """Everything the template that takes a comment writes."""
    plan_url = reverse("plan", args=[hand.repair.pk])
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "plan": plan,
        "crumbs": crumbs(hand, ("Plan", plan_url), ("Comment", "")),
        "plan_url": plan_url,
        "form": form,
    }


def comments_shown(hand: RepairInHand, plan: Plan) -> dict[str, list[dict[str, str]]]:
    """The comments on a revision by step key, "" for the plan as a whole."""
    found: dict[str, list[dict[str, str]]] = defaultdict(list)
    for comment in plan.comments.all():
        found[comment.step_key].append(_comment(hand, comment, plan))
    return found


def _comment(hand: RepairInHand, comment: PlanComment, plan: Plan) -> dict[str, str]:
    titles = {step.key: str(step) for step in plan.steps.all()}
    at = moment_text(comment.written_at, hand.zone)
    return {
        "by": f"{comment.written_by_name} ({comment.party}), {at}",
        "text": comment.text,
        "on": titles.get(comment.step_key, "the plan as a whole"),
    }


def _revisions(repair: Repair) -> QuerySet[Plan]:
    plans = Plan.objects.filter(repair=repair).order_by("revision")
    return plans.select_related("agreement", "created_by").prefetch_related("steps")


def _compared_with(plan: Plan, plans: Sequence[Plan]) -> Plan | None:
    """What a revision is read against: the last one agreed before it, else the one before it."""
    earlier = [other for other in plans if other.revision < plan.revision]
    agreed = [other for other in earlier if is_agreed(other)]
    return (agreed or earlier or [None])[-1]  # type: ignore[list-item]


def _changes(hand: RepairInHand, plan: Plan) -> dict[str, Any] | None:
    """What the revision on the page changed, and in which; None for the first."""
    before = _compared_with(plan, list(_revisions(hand.repair)))
    if before is None:
        return None
    return {"since": before.revision, "lines": _between(hand, before, plan)}


def _between(hand: RepairInHand, before: Plan | None, plan: Plan) -> list[dict[str, str]]:
    if before is None:
        return []
    return [
        *terms_changes(before.terms, plan.terms),
        *changes_shown(steps_of(before), steps_of(plan), hand.zone),
    ]


def _state(hand: RepairInHand, plan: Plan, waiting: Plan | None) -> dict[str, str]:
    """How a revision stands: kind of stamp, and word."""
    if waiting is not None and waiting.pk == plan.pk:
        return {"kind": "open", "word": "Waits for the client"}
    if plan.pk == hand.plan.pk:
        return {"kind": "conforms", "word": "In force"}
    if is_agreed(plan):
        return {"kind": "closed", "word": "Agreed, replaced since"}
    return {"kind": "closed", "word": "Draft, replaced since"}


def _crumbs(hand: RepairInHand, plan: Plan) -> list[dict[str, Any]]:
    if plan.pk == hand.plan.pk:
        return crumbs(hand, ("Plan", ""))
    plan_url = reverse("plan", args=[hand.repair.pk])
    return crumbs(hand, ("Plan", plan_url), (f"Revision {plan.revision}", ""))


def agreement(hand: RepairInHand) -> str:
    """Who agreed the plan in force and when; "" while nobody has."""
    return _agreed(hand, hand.plan)


def _about(hand: RepairInHand, plan: Plan) -> list[dict[str, str]]:
    drafted = f"{plan.created_by.printed_name}, {moment_text(plan.created_at, hand.zone)}"
    applies = f"step {plan.applies_from}" if plan.applies_from > 1 else ""
    facts = [
        ("Plan", plan.title),
        (
            "Template",
            plan.template.replace("/", ", revision ").replace("revision shipped", SHIPPED),
        ),
        ("Revision", str(plan.revision)),
        ("Reason for this revision", plan.reason),
        ("Applies from", applies),
        ("Drafted by", drafted),
        ("Agreed by", _agreed(hand, plan) or "nobody yet: the client agrees the plan"),
    ]
    return [{"term": term, "definition": said} for term, said in facts if said]


def _agreed(hand: RepairInHand, plan: Plan) -> str:
    if not is_agreed(plan):
        return ""
    agreed = plan.agreement
    return f"{agreed.agreed_by_name} (client), {moment_text(agreed.agreed_at, hand.zone)}"


def _step(hand: RepairInHand, step: PlanStep, comments: list[dict[str, str]]) -> dict[str, Any]:
    return {
        "key": step.key,
        "comments": comments,
        "order": order_shown(step),
        "since": step.since if step.since > 1 else 0,
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
        "qualified": [
            f"{trade.capitalize()} qualified for {', '.join(scopes)}"
            for trade, scopes in step.qualifications.items()
        ],
    }


def _means(step: PlanStep) -> str:
    kinds = [kind_label(kind).lower() for kind in step.instrument_kinds]
    batch = ["batch of the material"] if step.needs_batch else []
    people = [f"{trade}: {' and '.join(s)}" for trade, s in step.qualifications.items() if s]
    return ", ".join([*([" or ".join(kinds)] if kinds else []), *batch, *people])


def _asked(hand: RepairInHand, step: PlanStep) -> tuple[Asked, ...]:
    return asked_of(step.checks, step.criteria, step.sources, hand.zone)


def order_shown(step: PlanStep) -> list[str]:
    """What a step rests on, and its time windows, in words."""
    names = {other.key: str(other) for other in step.plan.steps.all()}
    rests = [f"Rests on {names.get(key, key)}" for key in step.prerequisites]
    windows = [window_text(window, names) for window in step.windows]
    return [*rests, *(text[:1].upper() + text[1:] for text in windows)]
