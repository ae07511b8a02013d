"""What the record says of its plan: every agreed revision, and the steps that one took out."""

from collections.abc import Sequence
from typing import Any

from qc.ledger.chain import utc_text
from qc.records.models import Inspection, Plan, Repair
from qc.records.plan_changes import FieldChange, StepChange, changes_between
from qc.records.plan_steps import steps_of
from qc.records.progress import StepProgress, progress_of


def agreed_revisions(repair: Repair) -> tuple[Plan, ...]:
    """The revisions that the client agreed, the oldest first, with their steps."""
    agreed = Plan.objects.filter(repair=repair, agreement__isnull=False)
    related = agreed.select_related("agreement", "created_by").prefetch_related("steps")
    return tuple(related.order_by("revision"))


def plan_revisions(agreed: Sequence[Plan]) -> list[dict[str, Any]]:
    """Each agreed revision: by whom, why, from which step, and what it changed in the last one.

    Values stand as they are stored, not in words, so that a record's digest outlives the wording.
    """
    before: tuple[Plan | None, ...] = (None, *agreed)
    return [_revision(plan, old) for plan, old in zip(agreed, before, strict=False)]


def removed_steps(repair: Repair, agreed: Sequence[Plan]) -> tuple[StepProgress, ...]:
    """The steps that hold inspections and that the plan in force no longer has."""
    if not agreed:
        return ()
    kept = {step.key for step in agreed[-1].steps.all()}
    inspected = Inspection.objects.filter(repair=repair).values_list("step__key", flat=True)
    gone = set(inspected.distinct()) - kept
    found = []
    for plan in reversed(agreed[:-1]):
        keys = gone & {step.key for step in plan.steps.all()}
        if keys:
            found += [p for p in progress_of(repair, plan) if p.step.key in keys]
            gone -= keys
    return tuple(sorted(found, key=lambda p: (p.step.plan_id, p.step.position)))


def removed_by(progress: StepProgress, agreed: Sequence[Plan]) -> int:
    """The revision that took a removed step out: the first after the last that had it."""
    return min(p.revision for p in agreed if p.revision > progress.step.plan.revision)


def _revision(plan: Plan, before: Plan | None) -> dict[str, Any]:
    changes = () if before is None else changes_between(steps_of(before), steps_of(plan))
    return {
        "revision": plan.revision,
        "reason": plan.reason,
        "applies_from": plan.applies_from,
        "drafted_by": plan.created_by.printed_name,
        "drafted_at": utc_text(plan.created_at),
        "agreed_by": plan.agreement.agreed_by_name,
        "agreed_at": utc_text(plan.agreement.agreed_at),
        "changes": [_change(change) for change in changes],
    }


def _change(change: StepChange) -> dict[str, Any]:
    step = change.after or change.before
    return {
        "what": str(change.what),
        "step": change.key,
        "title": step.title if step else "",
        "position_before": change.position_before,
        "position_after": change.position_after,
        "fields": [_field(one) for one in change.fields],
    }


def _field(change: FieldChange) -> dict[str, Any]:
    said: dict[str, Any] = {"path": change.path, "before": change.before, "after": change.after}
    if change.path.startswith("criteria."):
        said |= {"source_before": change.source_before, "source_after": change.source_after}
    return said
