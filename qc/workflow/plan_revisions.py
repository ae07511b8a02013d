"""Revising a plan, commenting it, and agreeing it.

A revision drafted after the first agreement says from which step it applies. The steps before
that one stay as they were agreed; a later step with other content has to be inspected again.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from qc.accounts.models import User
from qc.engine.fields import InvalidValue
from qc.engine.lifecycle import Act, Refused, repair_blocker
from qc.engine.plan import Blocker, Party, terms_of
from qc.ledger.chain import Entry
from qc.records.models import Inspection, Plan, PlanAgreement, PlanComment, PlanMarkup, Repair
from qc.records.plan_checks import problems_of
from qc.records.plan_steps import steps_of
from qc.records.queries import draft_of, is_agreed, plan_in_force
from qc.records.templates import StepTemplate
from qc.workflow.deed import Deed, act, begin, finish
from qc.workflow.plan_markup import markup_of, refuse_if_changed
from qc.workflow.plan_writing import PlanDraft, first_difference, unstated, write_plan

LONGEST_COMMENT = 1000


@act
def revise_plan(
    *,
    repair_id: int,
    steps: Sequence[StepTemplate],
    reason: str = "",
    actor: User,
    at: datetime,
    act_id: UUID,
    applies_from: int | None = None,
    terms: Mapping[str, Any] | None = None,
    seen_markup: int | None = None,
) -> Entry:
    """Draft a new revision with these steps; the client agrees it before it is in force.

    Once a plan is agreed a revision needs its reason, and applies from the step that it says, by
    default the first that differs. `terms` None keeps the project's wording as it is. Where the
    steps come from the marked-up copy, `seen_markup` is its edition: Refused if it was changed.
    """
    deed = begin(Act.REVISE_PLAN, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    if seen_markup is not None:
        refuse_if_changed(markup_of(deed.repair), seen_markup)
    old = draft_of(deed.repair) or plan_in_force(deed.repair)
    in_force = agreed_plan(deed.repair)
    starts = _starts(in_force, steps, applies_from)
    refused = [_objection(problem.statement) for problem in problems_of(steps)]
    refused += [_objection(said) for said in _objections(in_force, steps, starts, reason)]
    terms = old.terms if terms is None else terms
    refused += [_objection(said) for said in _against_terms(terms)]
    refused += [_objection(said) for said in _other_characteristic(deed.repair, steps)]
    if refused:
        raise Refused(*refused)
    draft = PlanDraft(
        template=old.template,
        title=old.title,
        cautions=old.cautions,
        terms=terms,
        steps=steps,
        revision=old.revision + 1,
        reason=reason.strip(),
        applies_from=starts,
        in_force=in_force,
    )
    plan = write_plan(deed.repair, draft, actor=actor, at=at)
    # What was marked up in the revision before is put forward, or overtaken.
    PlanMarkup.objects.filter(repair=deed.repair).delete()
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
        raise Refused(_objection("The plan in force is agreed already.", Party.CLIENT))
    if seen_revision is not None and seen_revision != plan.revision:
        statement = (
            f"The plan has been revised since you opened it:"
            f" read revision {plan.revision} before you agree."
        )
        raise Refused(_objection(statement, Party.CLIENT))
    lacking = tuple(unstated(plan))
    if lacking:
        raise Refused(*lacking)
    agreement = PlanAgreement.objects.create(
        plan=plan, agreed_by=actor, agreed_by_name=actor.printed_name, agreed_at=at
    )
    return finish(deed, agreement)


@act
def comment_plan(
    *,
    repair_id: int,
    revision: int,
    step_key: str,
    text: str,
    actor: User,
    at: datetime,
    act_id: UUID,
) -> Entry:
    """Remark on a revision, or on its step `step_key` ("" for the plan as a whole).

    Only the revision in force and the draft that waits are commented: older ones are answered.
    """
    deed = begin(Act.COMMENT_PLAN, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    plan = _open_to_comment(deed, revision)
    if reasons := list(_against_comment(plan, step_key, text.strip())):
        raise Refused(*(_objection(reason, deed.party) for reason in reasons))
    comment = PlanComment.objects.create(
        plan=plan,
        step_key=step_key,
        text=text.strip(),
        party=deed.party,
        written_by=actor,
        written_by_name=actor.printed_name,
        written_at=at,
    )
    return finish(deed, comment)


def agreed_plan(repair: Repair) -> Plan | None:
    """The plan in force if the client has agreed one."""
    plan = plan_in_force(repair)
    return plan if is_agreed(plan) else None


def _starts(in_force: Plan | None, steps: Sequence[StepTemplate], applies_from: int | None) -> int:
    if in_force is None:
        return 1
    if applies_from is not None:
        return applies_from
    return first_difference(steps_of(in_force), steps) or 1


def _objections(
    in_force: Plan | None, steps: Sequence[StepTemplate], starts: int, reason: str
) -> Iterator[str]:
    """What speaks against a revision, beside what is wrong with its steps."""
    if not steps:
        yield "A plan has at least one step."
    if in_force is None:
        return
    if not reason.strip():
        yield "A revision of an agreed plan needs its reason."
    agreed = steps_of(in_force)
    most = max(len(agreed), len(steps))
    if not 1 <= starts <= most:
        yield f"The revision applies from a step between 1 and {most}, not from {starts}."
    differs = first_difference(agreed, steps)
    if differs is not None and differs < starts:
        yield (
            f"The revision applies from step {starts}, and changes step {differs}:"
            f" what stands before the step from which it applies stays as it was agreed."
        )


def _other_characteristic(repair: Repair, steps: Sequence[StepTemplate]) -> Iterator[str]:
    """Readings of one characteristic can't stand on a step that checks another."""
    inspected = Inspection.objects.filter(repair=repair).order_by("step__key")
    held = dict(inspected.values_list("step__key", "step__characteristic").distinct())
    for position, step in enumerate(steps, start=1):
        if held.get(step.key, step.characteristic) != step.characteristic:
            yield (
                f"Step {position}, {step.title}: readings of another characteristic are on record;"
                " add what is checked now as a step of its own."
            )


def _against_terms(terms: Mapping[str, Any]) -> Iterator[str]:
    try:
        terms_of(terms)
    except InvalidValue as wrong:
        yield f"{wrong}."


def _open_to_comment(deed: Deed, revision: int) -> Plan:
    """The plan in force or the draft, whichever has this revision; Refused if neither has."""
    plans = [draft_of(deed.repair) or plan_in_force(deed.repair), plan_in_force(deed.repair)]
    for plan in plans:
        if plan.revision == revision:
            return plan
    statement = f"The plan has been revised since: comment on revision {plans[0].revision}."
    raise Refused(_objection(statement, deed.party))


def _against_comment(plan: Plan, step_key: str, text: str) -> Iterator[str]:
    if step_key and step_key not in {step.key for step in plan.steps.all()}:
        yield f"Revision {plan.revision} has no step {step_key[:60]!r}."
    if not text:
        yield "Write the comment."
    if len(text) > LONGEST_COMMENT:
        yield f"{len(text)} characters are more than {LONGEST_COMMENT}, the most for a comment."


def _objection(statement: str, party: Party = Party.CONTRACTOR) -> Blocker:
    return repair_blocker("plan", statement, party)
