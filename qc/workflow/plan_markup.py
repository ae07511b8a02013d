"""The contractor's marked-up copy of a plan, changed as often as it takes before it is put forward.

It is a working paper: no entry of the ledger, and nobody else's page, shows it. What comes of it
is `revise_plan`, which writes the steps as a revision and throws the copy away.
"""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from qc.accounts.models import User
from qc.engine.lifecycle import Act, Facts, Refused, decide, repair_blocker
from qc.engine.plan import Party
from qc.records.models import Plan, PlanMarkup, Repair
from qc.records.plan_edits import Steps
from qc.records.plan_steps import steps_of
from qc.records.queries import draft_of, membership_in, plan_in_force
from qc.records.templates import step_from, stored_step


def latest_plan(repair: Repair) -> Plan:
    """The revision that a new one would follow: the draft, else the plan in force."""
    return draft_of(repair) or plan_in_force(repair)


def markup_of(repair: Repair) -> PlanMarkup | None:
    """The marked-up copy, if there is one of the latest revision."""
    kept = PlanMarkup.objects.filter(repair=repair).select_related("base", "changed_by").first()
    return kept if kept is not None and kept.base_id == latest_plan(repair).pk else None


def steps_marked_up(repair: Repair) -> Steps:
    """The steps as they are marked up, or as the latest revision has them."""
    markup = markup_of(repair)
    return steps_of(latest_plan(repair)) if markup is None else stored(markup)


def stored(markup: PlanMarkup) -> Steps:
    """The steps of a marked-up copy."""
    return tuple(step_from(step) for step in markup.steps)


@transaction.atomic
def mark_up(
    *,
    repair_id: int,
    actor: User,
    at: datetime,
    seen_edition: int,
    change: Callable[[Steps], Steps] | None = None,
    terms: Mapping[str, Any] | None = None,
) -> PlanMarkup:
    """Apply a change to the steps of the marked-up copy, or give its points other terms.

    `seen_edition` is the one on the page, 0 for none. Refused if the actor can't revise the plan
    now, or if the copy was changed since.
    """
    repair = _allowed(repair_id, actor)
    kept = markup_of(repair)
    refuse_if_changed(kept, seen_edition)
    base = latest_plan(repair)
    steps = steps_of(base) if kept is None else stored(kept)
    kept_terms = base.terms if kept is None else kept.terms
    columns = {
        "base": base,
        "edition": seen_edition + 1,
        "steps": [stored_step(step) for step in (change(steps) if change else steps)],
        "terms": kept_terms if terms is None else dict(terms),
        "changed_by": actor,
        "changed_at": at,
    }
    made, _ = PlanMarkup.objects.update_or_create(repair=repair, defaults=columns)
    return made


@transaction.atomic
def discard_markup(*, repair_id: int, actor: User, seen_edition: int) -> None:
    """Throw the marked-up copy away. Refused as in `mark_up`."""
    repair = _allowed(repair_id, actor)
    refuse_if_changed(markup_of(repair), seen_edition)
    PlanMarkup.objects.filter(repair=repair).delete()


def _allowed(repair_id: int, actor: User) -> Repair:
    """The repair, locked; Refused if the actor's party can't revise its plan now."""
    repair = Repair.objects.select_for_update().get(pk=repair_id)
    party = membership_in(actor, repair).acts_for
    decide(repair.stands_at, Act.REVISE_PLAN, party, Facts())
    return repair


def refuse_if_changed(kept: PlanMarkup | None, seen_edition: int) -> None:
    """Refused if the marked-up copy is no longer the edition on the page."""
    if (kept.edition if kept else 0) == seen_edition:
        return
    if kept is None:
        said = "The marked-up copy was put forward or thrown away since: open it again."
    else:
        said = f"The marked-up copy was changed since, by {kept.changed_by.printed_name}:"
        said += " look at it again before you change it."
    raise Refused(repair_blocker("plan", said, Party.CONTRACTOR))
