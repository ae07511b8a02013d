"""The library of templates: what plans are drafted from, and what each revision changed."""

from dataclasses import replace
from typing import Any
from zoneinfo import ZoneInfo

from django.urls import reverse

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.plan import Party
from qc.engine.wording import asked_of, moment_text
from qc.records.library import library_of, revisions_of, template_named
from qc.records.models import PlanTemplate as TemplateRow
from qc.records.plan_steps import steps_of
from qc.records.templates import SHIPPED, PlanTemplate, StepTemplate
from qc.web.forms.template import COPY, PLAN, TemplateForm
from qc.web.loading import RepairInHand
from qc.web.pages.places import crumbs, party_line
from qc.web.pages.plan_changes import changes_shown, window_text
from qc.web.pages.registers import ProjectInHand
from qc.workflow.plan_markup import latest_plan, markup_of, stored


def library_page(hand: ProjectInHand) -> dict[str, Any]:
    """Everything the template writes."""
    project = hand.project.pk
    return {
        **_page(hand),
        "templates": [
            {
                "title": made.title,
                "say": made.summary,
                "url": reverse("plan_template", args=[project, made.key]),
                "word": _revision_text(made),
                "note": f"{len(made.steps)} steps",
            }
            for made in library_of(project).values()
        ],
    }


def template_page(hand: ProjectInHand, made: PlanTemplate) -> dict[str, Any]:
    """Everything the template writes of one template."""
    zone = ZoneInfo(hand.project.time_zone)
    library = reverse("templates", args=[hand.project.pk])
    names = {step.key: step.title for step in made.steps}
    return {
        **_page(hand, ("Plan templates", library), (made.title, "")),
        "template": made,
        "revision": _revision_text(made),
        "steps": [_step(step, names, zone) for step in made.steps],
        "revisions": _revisions(hand, made, zone),
    }


def save_page(hand: RepairInHand, form: TemplateForm) -> dict[str, Any]:
    """Everything the template that saves a plan writes."""
    plan_url = reverse("plan", args=[hand.repair.pk])
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "crumbs": crumbs(hand, ("Plan", plan_url), ("Save as a template", "")),
        "plan_url": plan_url,
        "form": form,
    }


def template_form(hand: RepairInHand, *data: Any) -> TemplateForm:
    """The form that saves the plan of a repair, or its marked-up copy."""
    plan, copy = latest_plan(hand.repair), markup_of(hand.repair)
    sources = {PLAN: (f"Revision {plan.revision} of the plan", steps_of(plan))}
    if copy is not None:
        sources[COPY] = ("The marked-up copy", stored(copy))
    project = hand.repair.project_id
    origin = template_named(project, plan.template)
    base = PlanTemplate(
        key="",
        title=plan.title,
        summary=origin.summary if origin else "",
        steps=(),
        cautions=tuple(plan.cautions),
        terms=plan.terms,
        to_state=origin.to_state if origin else {},
    )
    kept = [made for made in library_of(project).values() if made.revision != SHIPPED]
    return TemplateForm(sources, base, kept, *data)


def _page(hand: ProjectInHand, *trail: tuple[str, str]) -> dict[str, Any]:
    party = hand.membership.acts_for
    here = trail or (("Plan templates", ""),)
    way = [("Repairs", reverse("home")), *here]
    return {
        "party": f"{party.capitalize()}, {hand.project.organisation_of(party)}",
        "project": hand.project,
        "crumbs": [{"label": label, "url": url} for label, url in way],
    }


def _revision_text(made: PlanTemplate) -> str:
    return "Shipped" if made.revision == SHIPPED else f"Revision {made.revision}"


def _step(step: StepTemplate, names: dict[str, str], zone: ZoneInfo) -> dict[str, Any]:
    checks = CHARACTERISTICS[step.characteristic]
    return {
        "title": step.title,
        "checks": checks.title,
        "activity": step.activity,
        "points": ", ".join(f"{step.points[p]} {p}" for p in Party if p in step.points),
        "order": [
            *(f"rests on {names.get(key, key)}" for key in step.prerequisites),
            *(window_text(window, names) for window in step.windows),
        ],
        "asked": asked_of(checks, step.criteria, step.sources, zone),
    }


def _revisions(hand: ProjectInHand, made: PlanTemplate, zone: ZoneInfo) -> list[dict[str, Any]]:
    """Every revision that the project saved, the latest first, with what it changed."""
    rows = TemplateRow.objects.filter(project=hand.project, key=made.key).order_by("revision")
    revisions = revisions_of(hand.project.pk, made.key)
    before = (replace(made, steps=()), *revisions)
    shown = []
    for row, old, new in zip(rows, before, revisions, strict=False):
        shown.append(
            {
                "number": row.revision,
                "by": f"{row.saved_by_name}, {moment_text(row.saved_at, zone)}",
                "reason": row.reason,
                "changes": changes_shown(old.steps, new.steps, zone) if row.revision > 1 else [],
            }
        )
    return shown[::-1]
