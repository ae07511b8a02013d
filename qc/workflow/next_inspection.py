"""The day by which a repair is inspected next: the owner sets it, and why."""

from datetime import date, datetime
from uuid import UUID

from qc.accounts.models import User
from qc.engine.lifecycle import Act, Refused, repair_blocker
from qc.ledger.chain import Entry
from qc.records.models import InspectionDue
from qc.workflow.deed import act, begin, finish
from qc.workflow.outline import past


@act
def set_next_inspection(
    *,
    repair_id: int,
    due_on: date | None,
    reason: str,
    actor: User,
    at: datetime,
    act_id: UUID,
) -> Entry:
    """Set the day of the next inspection, or None where there is no more, saying why.

    A certificate that is issued keeps the day that it was issued with.
    """
    deed = begin(Act.SET_NEXT_INSPECTION, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    if not reason.strip():
        raise Refused(repair_blocker("reason", "Say why the day is set.", deed.party))
    if due_on and deed.facts.day and (problem := past(due_on, deed.facts.day)):
        raise Refused(repair_blocker("due_on", problem, deed.party))
    set_now = InspectionDue.objects.create(
        repair=deed.repair,
        due_on=due_on,
        reason=reason.strip(),
        party=deed.party,
        set_by=actor,
        set_by_name=actor.printed_name,
        set_at=at,
    )
    deed.repair.next_inspection = due_on
    deed.repair.save(update_fields=["next_inspection"])
    return finish(deed, set_now, deed.repair)
