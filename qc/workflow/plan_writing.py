"""Writing the rows of a plan's revision, and what may stand in them."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from qc.accounts.models import User
from qc.engine.lifecycle import repair_blocker
from qc.engine.plan import Blocker, Party
from qc.records.library import template_named
from qc.records.models import Plan, PlanStep, Repair
from qc.records.plan_steps import as_drafted, is_same
from qc.records.templates import PlanTemplate, StepTemplate, stored_step


@dataclass(frozen=True, kw_only=True)
class PlanDraft:
    """A revision to be written. `in_force` is the agreed plan that it would replace, if any."""

    template: str
    title: str
    cautions: Sequence[str]
    terms: Mapping[str, Any]
    steps: Sequence[StepTemplate]
    revision: int = 1
    reason: str = ""
    applies_from: int = 1
    in_force: Plan | None = None


def draft_from(template: PlanTemplate) -> PlanDraft:
    """The first draft of a plan, as its template has it."""
    return PlanDraft(
        template=template.reference,
        title=template.title,
        cautions=template.cautions,
        terms=template.terms,
        steps=template.steps,
    )


def write_plan(repair: Repair, draft: PlanDraft, *, actor: User, at: datetime) -> Plan:
    """The rows of a revision. A step that stays as it was agreed keeps the revision it is from."""
    plan = Plan.objects.create(
        repair=repair,
        revision=draft.revision,
        template=draft.template,
        title=draft.title,
        cautions=list(draft.cautions),
        terms=dict(draft.terms),
        applies_from=draft.applies_from,
        reason=draft.reason,
        created_by=actor,
        created_at=at,
    )
    since = _since(draft)
    PlanStep.objects.bulk_create(
        PlanStep(plan=plan, position=position, since=since[step.key], **stored_step(step))
        for position, step in enumerate(draft.steps, start=1)
    )
    return plan


def _since(draft: PlanDraft) -> dict[str, int]:
    """By step, the revision that gave it its content."""
    agreed = {} if draft.in_force is None else {s.key: s for s in draft.in_force.steps.all()}
    return {
        step.key: agreed[step.key].since
        if step.key in agreed and is_same(as_drafted(agreed[step.key]), step)
        else draft.revision
        for step in draft.steps
    }


def first_difference(before: Sequence[StepTemplate], after: Sequence[StepTemplate]) -> int | None:
    """The first position at which two plans differ; None where they are the same."""
    for position, (one, other) in enumerate(zip(before, after, strict=False), start=1):
        if not is_same(one, other):
            return position
    shorter = min(len(before), len(after))
    return None if len(before) == len(after) else shorter + 1


def unstated(plan: Plan) -> Iterator[Blocker]:
    """What the template offers no value for, such as a test pressure, and the plan lacks."""
    template = template_named(plan.repair.project_id, plan.template)
    to_state = template.to_state if template else {}
    for step in plan.steps.all():
        either = to_state.get(step.key, ())
        if either and not any(name in step.criteria for name in either):
            labels = {field.name: field.label for field in step.checks.criteria}
            lacking = " or ".join(f"“{labels[name]}”" for name in either)
            statement = f"Step {step.position}, {step.title}: the plan must state {lacking}."
            yield repair_blocker("plan", statement, Party.CONTRACTOR)
