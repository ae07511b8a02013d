"""The marked-up copy of a plan: its steps to put in order, and each step to change."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.lifecycle import Act, Refused
from qc.engine.plan import Party
from qc.engine.wording import moment_text
from qc.records.data_sheets import sheets_in_force
from qc.records.models import DataSheet, Plan, PlanMarkup
from qc.records.plan_checks import Problem, problems_of
from qc.records.plan_edits import Steps
from qc.records.plan_steps import steps_of
from qc.records.queries import is_agreed
from qc.records.templates import StepTemplate
from qc.web.forms.offers import EVERY_OFFER, is_offered
from qc.web.forms.plan import CriteriaForm
from qc.web.forms.plan_act import PutForwardForm
from qc.web.loading import RepairInHand
from qc.web.pages.places import crumbs, party_line
from qc.web.pages.plan_changes import changes_shown, window_text
from qc.web.pages.points import terms_changes, terms_shown
from qc.web.templatetags.parts import printed
from qc.workflow.plan_markup import latest_plan, markup_of, stored
from qc.workflow.plan_writing import first_difference


@dataclass(frozen=True, kw_only=True)
class MarkupInHand:
    """The marked-up copy as the contractor finds it; `kept` is None while nothing is marked up."""

    base: Plan
    kept: PlanMarkup | None
    steps: Steps

    @property
    def terms(self) -> Mapping[str, Any]:
        """The terms of its points."""
        return self.kept.terms if self.kept else self.base.terms

    @property
    def edition(self) -> int:
        """The edition that a form on the page changes."""
        return self.kept.edition if self.kept else 0


def markup_in_hand(hand: RepairInHand, is_sent: bool = False) -> MarkupInHand:
    """The marked-up copy; Refused with the reasons for a person who can't revise the plan.

    What the contractor sent meanwhile is refused beside what was typed, by the act itself.
    """
    reasons = hand.reasons_against(Act.REVISE_PLAN)
    if reasons and not (is_sent and hand.party is Party.CONTRACTOR):
        raise Refused(*reasons)
    base, kept = latest_plan(hand.repair), markup_of(hand.repair)
    return MarkupInHand(base=base, kept=kept, steps=stored(kept) if kept else steps_of(base))


def put_forward_form(hand: RepairInHand, markup: MarkupInHand, *data: Any) -> PutForwardForm:
    """The form that makes a revision of the copy."""
    agreed = is_agreed(hand.plan)
    first = first_difference(steps_of(hand.plan), markup.steps) if agreed else None
    return PutForwardForm(markup.steps, markup.terms, markup.edition, agreed, first, *data)


def markup_page(hand: RepairInHand, markup: MarkupInHand, form: PutForwardForm) -> dict[str, Any]:
    """Everything the template writes."""
    problems = problems_of(markup.steps)
    unsettled = {problem.position for problem in problems}
    names = {step.key: step.title for step in markup.steps}
    sheets = sheets_in_force(hand.repair.project_id)
    return {
        **_page(hand, markup, ("Marked-up copy", "")),
        "changed": _changed(hand, markup),
        "changes": [
            *terms_changes(markup.base.terms, markup.terms),
            *changes_shown(steps_of(markup.base), markup.steps, hand.zone),
        ],
        "terms": terms_shown(markup.terms),
        "terms_url": reverse("edit_terms", args=[hand.repair.pk]),
        "problems": [_problem(hand, problem, markup) for problem in problems],
        "steps": [
            _step(hand, number, step, names, sheets)
            | {"is_unsettled": number in unsettled, "is_last": number == len(markup.steps)}
            for number, step in enumerate(markup.steps, start=1)
        ],
        "revises": is_agreed(hand.plan),
        "form": form,
    }


def step_page(
    hand: RepairInHand, markup: MarkupInHand, step: StepTemplate, form: Any
) -> dict[str, Any]:
    """Everything the template of a step of the copy writes."""
    return {
        **_page(hand, markup, ("Marked-up copy", edit_url(hand)), (step.title, "")),
        "step": step,
        "position": markup.steps.index(step) + 1,
        "checks": CHARACTERISTICS[step.characteristic],
        "limits_url": reverse("edit_limits", args=[hand.repair.pk, step.key]),
        "form": form,
    }


def terms_page(hand: RepairInHand, markup: MarkupInHand, form: Any) -> dict[str, Any]:
    """Everything the template of the points' terms writes."""
    here = ("Codes and notice", "")
    return {**_page(hand, markup, ("Marked-up copy", edit_url(hand)), here), "form": form}


def limits_page(
    hand: RepairInHand, markup: MarkupInHand, step: StepTemplate, form: CriteriaForm
) -> dict[str, Any]:
    """Everything the template of a step's limits writes."""
    here = (f"Limits of {step.title}", "")
    return {
        **_page(hand, markup, ("Marked-up copy", edit_url(hand)), here),
        "step": step,
        "position": markup.steps.index(step) + 1,
        "checks": CHARACTERISTICS[step.characteristic],
        "every_offer": EVERY_OFFER,
        "form": form,
    }


def add_page(hand: RepairInHand, markup: MarkupInHand, form: Any) -> dict[str, Any]:
    """Everything the template that adds a step writes."""
    trail = (("Marked-up copy", edit_url(hand)), ("Add a step", ""))
    return {**_page(hand, markup, *trail), "form": form}


def edit_url(hand: RepairInHand) -> str:
    """The page of the marked-up copy."""
    return reverse("edit_plan", args=[hand.repair.pk])


def _page(hand: RepairInHand, markup: MarkupInHand, *trail: tuple[str, str]) -> dict[str, Any]:
    plan_url = reverse("plan", args=[hand.repair.pk])
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "base": markup.base,
        "edition": markup.edition,
        "crumbs": crumbs(hand, ("Plan", plan_url), *trail),
        "edit_url": edit_url(hand),
    }


def _changed(hand: RepairInHand, markup: MarkupInHand) -> str:
    if markup.kept is None:
        return ""
    by, at = markup.kept.changed_by.printed_name, markup.kept.changed_at
    return f"Last changed by {by}, {moment_text(at, hand.zone)}."


def _problem(hand: RepairInHand, problem: Problem, markup: MarkupInHand) -> dict[str, str]:
    step = markup.steps[problem.position - 1]
    of_limits = problem.path.partition(".")[0] in ("criteria", "sources")
    page = "edit_limits" if of_limits else "edit_step"
    return {
        "say": printed(problem.statement),
        "url": reverse(page, args=[hand.repair.pk, step.key]),
        "label": "Set its limits" if of_limits else "Change the step",
    }


def _step(
    hand: RepairInHand,
    number: int,
    step: StepTemplate,
    names: dict[str, str],
    sheets: Sequence[DataSheet],
) -> dict[str, Any]:
    checks = CHARACTERISTICS[step.characteristic]
    return {
        "number": number,
        "key": step.key,
        "title": step.title,
        "checks": checks.title,
        "points": ", ".join(f"{code} {party}" for party, code in step.points.items()),
        "order": _order(step, names),
        "is_first": number == 1,
        "limits": len(step.criteria),
        "offers": sum(is_offered(field, step, sheets) for field in checks.criteria),
        "edit_url": reverse("edit_step", args=[hand.repair.pk, step.key]),
        "limits_url": reverse("edit_limits", args=[hand.repair.pk, step.key]),
    }


def _order(step: StepTemplate, names: dict[str, str]) -> Sequence[str]:
    """What the step rests on and its windows, in words."""
    rests = [f"rests on {names.get(key, key)}" for key in step.prerequisites]
    return [*rests, *(window_text(window, names) for window in step.windows)]
