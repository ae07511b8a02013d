"""Saving a plan's steps as a template that the project keeps, revision by revision."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any
from uuid import UUID

from django.utils.text import slugify

from qc.accounts.models import User
from qc.engine.lifecycle import RegisterAct
from qc.ledger.chain import Entry
from qc.records.models import PlanTemplate as TemplateRow
from qc.records.plan_checks import problems_of
from qc.records.plan_edits import free_key
from qc.records.templates import PlanTemplate, StepTemplate, plan_templates, stored_step
from qc.workflow.deed import act
from qc.workflow.register_deed import begin_entry, finish_entry, refusal


@act
def save_template(
    *,
    project_id: int,
    template: PlanTemplate,
    reason: str = "",
    actor: User,
    at: datetime,
    act_id: UUID,
) -> Entry:
    """Keep a template of the project; `template.key` "" makes a new one, named after its title.

    A further revision needs its reason. Refused for steps that make no plan.
    """
    deed = begin_entry(
        RegisterAct.SAVE_TEMPLATE, project_id=project_id, actor=actor, at=at, act_id=act_id
    )
    kept = TemplateRow.objects.filter(project=project_id, key=template.key).order_by("-revision")
    last = kept.first() if template.key else None
    if reasons := list(_objections(template, last, reason.strip())):
        raise refusal(" ".join(reasons))
    row = TemplateRow.objects.create(
        project=deed.project,
        key=template.key or _new_key(project_id, template.title),
        revision=last.revision + 1 if last else 1,
        title=template.title.strip(),
        summary=template.summary.strip(),
        cautions=list(template.cautions),
        terms=dict(template.terms),
        steps=[_stored(step, template) for step in template.steps],
        reason=reason.strip(),
        saved_by=actor,
        saved_by_name=actor.printed_name,
        saved_at=at,
    )
    return finish_entry(deed, row)


def _objections(template: PlanTemplate, last: TemplateRow | None, reason: str) -> Iterator[str]:
    if template.key and last is None:
        yield f"The project keeps no template {template.key!r}."
    if last is not None and not reason:
        yield "A further revision of a template needs its reason."
    if not template.title.strip():
        yield "Give the template a title."
    if not template.steps:
        yield "A template has at least one step."
    for problem in problems_of(template.steps):
        yield problem.statement


def _new_key(project_id: int, title: str) -> str:
    taken = set(TemplateRow.objects.filter(project=project_id).values_list("key", flat=True))
    return free_key(slugify(title)[:40] or "template", taken | set(plan_templates()))


def _stored(step: StepTemplate, template: PlanTemplate) -> dict[str, Any]:
    """A step as the row keeps it, with what it leaves to the plan to state."""
    left = template.to_state.get(step.key)
    return stored_step(step) | ({"to_state": list(left)} if left else {})
