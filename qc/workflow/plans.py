"""Starting a repair with its plan, revising the plan while it is a draft, and agreeing it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from qc.accounts.access import membership_of
from qc.accounts.models import Project, User
from qc.engine.fields import InvalidValue
from qc.engine.lifecycle import Act, Refused, Status, repair_blocker
from qc.engine.plan import Blocker, Party
from qc.ledger import chain
from qc.ledger.chain import Entry
from qc.records.models import Asset, Plan, PlanAgreement, PlanStep, Repair
from qc.records.queries import draft_of, plan_in_force
from qc.records.templates import StepTemplate, check_step, plan_templates
from qc.workflow.deed import act, begin, finish, refuse_repetition
from qc.workflow.outline import RepairOutline, other_component, senseless
from qc.workflow.restate import statement


@act
def start_repair(
    *, project_id: int, outline: RepairOutline, actor: User, at: datetime, act_id: UUID
) -> Entry:
    """Open a repair and draft its plan from a template. Only the contractor plans."""
    party = membership_of(actor, project_id).acts_for
    refuse_repetition(Act.START_REPAIR, act_id, actor)
    reasons = (
        *_objections(project_id, outline, party),
        *_against_its_facts(project_id, outline, at),
    )
    if reasons:
        raise Refused(*reasons)
    repair = Repair.objects.create(
        project_id=project_id,
        asset=_asset(project_id, outline),
        **outline.about,
        status=Status.PLANNED,
        created_by=actor,
        created_at=at,
    )
    template = plan_templates()[outline.template]
    plan = _write_plan(
        repair,
        template.key,
        template.title,
        template.cautions,
        template.steps,
        actor,
        at,
        terms=template.terms,
    )
    return chain.append(
        chain=chain.repair_chain(repair.pk),
        act=Act.START_REPAIR,
        act_id=act_id,
        actor=actor,
        party=party,
        observed_at=at,
        recorded_at=at,
        payload=statement(Act.START_REPAIR, [repair, repair.asset, plan, *plan.steps.all()]),
    )


@act
def revise_plan(
    *,
    repair_id: int,
    steps: Sequence[StepTemplate],
    reason: str,
    actor: User,
    at: datetime,
    act_id: UUID,
) -> Entry:
    """Replace the drafted plan by a new revision with these steps, saying why."""
    deed = begin(Act.REVISE_PLAN, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    if not reason.strip():
        raise Refused(repair_blocker("plan", "A revision needs its reason.", Party.CONTRACTOR))
    try:
        for step in steps:
            check_step(step)
    except InvalidValue as refusal:
        raise Refused(repair_blocker("plan", f"{refusal}.", Party.CONTRACTOR)) from None
    old = draft_of(deed.repair) or plan_in_force(deed.repair)
    plan = _write_plan(
        deed.repair,
        old.template,
        old.title,
        old.cautions,
        steps,
        actor,
        at,
        revision=old.revision + 1,
        reason=reason.strip(),
        terms=old.terms,
    )
    return finish(deed, plan, *plan.steps.all())


@act
def agree_plan(
    *,
    repair_id: int,
    actor: User,
    at: datetime,
    act_id: UUID,
    seen_revision: int | None = None,
) -> Entry:
    """The client agrees the plan that was drafted; it is in force from now on.

    `seen_revision` is the one on the page; Refused if the plan has been revised since, or lacks
    what its template leaves to it.
    """
    deed = begin(Act.AGREE_PLAN, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    plan = draft_of(deed.repair)
    if plan is None:
        raise Refused(repair_blocker("plan", "The plan in force is agreed already.", Party.CLIENT))
    if seen_revision is not None and seen_revision != plan.revision:
        statement = (
            f"The plan has been revised since you opened it:"
            f" read revision {plan.revision} before you agree."
        )
        raise Refused(repair_blocker("plan", statement, Party.CLIENT))
    unstated = tuple(_unstated(plan))
    if unstated:
        raise Refused(*unstated)
    agreement = PlanAgreement.objects.create(
        plan=plan, agreed_by=actor, agreed_by_name=actor.printed_name, agreed_at=at
    )
    return finish(deed, agreement)


def _unstated(plan: Plan) -> Iterator[Blocker]:
    """What the template offers no value for, such as a test pressure, and the plan lacks."""
    template = plan_templates().get(plan.template)
    to_state = template.to_state if template else {}
    for step in plan.steps.all():
        either = to_state.get(step.key, ())
        if either and not any(name in step.criteria for name in either):
            labels = {field.name: field.label for field in step.checks.criteria}
            lacking = " or ".join(f"“{labels[name]}”" for name in either)
            statement = f"Step {step.position}, {step.title}: the plan must state {lacking}."
            yield repair_blocker("plan", statement, Party.CONTRACTOR)


def steps_of(plan: Plan) -> tuple[StepTemplate, ...]:
    """The steps of a plan as a draft to change."""
    return tuple(
        StepTemplate(
            key=step.key,
            title=step.title,
            activity=step.activity,
            characteristic=step.characteristic,
            sampling=step.sampling,
            criteria=step.criteria,
            sources=step.sources,
            reference=step.reference,
            rows=step.rows,
            instrument_kinds=tuple(step.instrument_kinds),
            needs_batch=step.needs_batch,
            points=step.points,
            evidence=tuple(step.evidence),
            cautions=tuple(step.cautions),
        )
        for step in plan.steps.all()
    )


def with_criteria(
    steps: Sequence[StepTemplate], key: str, criteria: dict[str, Any], sources: dict[str, str]
) -> tuple[StepTemplate, ...]:
    """The same steps with other criteria for the step `key`."""
    return tuple(
        replace(step, criteria=criteria, sources=sources) if step.key == key else step
        for step in steps
    )


def _objections(project_id: int, outline: RepairOutline, party: Party) -> list[Blocker]:
    found = []
    if party is not Party.CONTRACTOR:
        found.append(f"The {party} cannot start a repair; the contractor can.")
    if outline.template not in plan_templates():
        found.append(f"There is no plan template {outline.template!r}.")
    if not outline.number.strip() or not outline.title.strip() or not outline.asset_tag.strip():
        found.append("A repair needs a number, a title and a component.")
    if Repair.objects.filter(project_id=project_id, number=outline.number).exists():
        found.append(f"The number {outline.number} is taken in this project.")
    return [repair_blocker("repair", reason, Party.CONTRACTOR) for reason in found]


def _against_its_facts(project_id: int, outline: RepairOutline, at: datetime) -> Iterator[Blocker]:
    """What makes no sense, or differs from what is on record of the component."""
    project = Project.objects.get(pk=project_id)
    yield from senseless(outline, at.astimezone(ZoneInfo(project.time_zone)).date())
    known = Asset.objects.filter(project_id=project_id, tag=outline.asset_tag).first()
    if known is not None:
        yield from other_component(known, outline)


def _asset(project_id: int, outline: RepairOutline) -> Asset:
    asset, _ = Asset.objects.get_or_create(
        project_id=project_id, tag=outline.asset_tag, defaults=outline.component
    )
    return asset


def _write_plan(
    repair: Repair,
    template: str,
    title: str,
    cautions: Sequence[str],
    steps: Sequence[StepTemplate],
    actor: User,
    at: datetime,
    revision: int = 1,
    reason: str = "",
    terms: Mapping[str, Any] | None = None,
) -> Plan:
    plan = Plan.objects.create(
        repair=repair,
        revision=revision,
        template=template,
        title=title,
        cautions=list(cautions),
        reason=reason,
        terms=dict(terms or {}),
        created_by=actor,
        created_at=at,
    )
    PlanStep.objects.bulk_create(
        PlanStep(plan=plan, position=position, **_step_columns(step))
        for position, step in enumerate(steps, start=1)
    )
    return plan


def _step_columns(step: StepTemplate) -> dict[str, Any]:
    return {
        **vars(step),
        "criteria": dict(step.criteria),
        "sources": dict(step.sources),
        "instrument_kinds": list(step.instrument_kinds),
        "points": dict(step.points),
        "evidence": [dict(item) for item in step.evidence],
        "cautions": list(step.cautions),
    }
