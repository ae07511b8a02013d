"""Closing points: a hold is released, a witness attends or waives, a review is made."""

from datetime import datetime
from enum import StrEnum
from uuid import UUID

from qc.accounts.models import User
from qc.engine.lifecycle import Act, Refused
from qc.engine.plan import Blocker, Intervention, Party
from qc.engine.rules import Outcome
from qc.ledger.chain import Entry
from qc.records.models import PointClosure
from qc.records.progress import StepProgress
from qc.workflow.deed import act, begin, finish


class Manner(StrEnum):
    """How a point was closed."""

    RELEASED = "released"
    ATTENDED = "attended"
    WAIVED = "waived"
    REVIEWED = "reviewed"


MANNERS = {
    Intervention.HOLD: (Manner.RELEASED,),
    Intervention.WITNESS: (Manner.ATTENDED, Manner.WAIVED),
    Intervention.REVIEW: (Manner.REVIEWED,),
    Intervention.SURVEILLANCE: (),
}
"""The manners in which each kind of point can be closed. A hold is never waived."""


@act
def close_point(
    *,
    repair_id: int,
    position: int,
    manner: Manner,
    note: str,
    actor: User,
    at: datetime,
    act_id: UUID,
) -> Entry:
    """Close the actor's own party's point at a step.

    A hold is released and a review made only on a conforming verdict; waiving needs a reason.
    """
    deed = begin(Act.CLOSE_POINT, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    progress = deed.step(position)
    intervention = own_point(progress, deed.party)
    reasons = tuple(objections(progress, deed.party, intervention, manner, note.strip()))
    if reasons:
        raise Refused(*reasons)
    closure = PointClosure.objects.create(
        repair=deed.repair,
        step=progress.step,
        series=progress.series,
        inspection=progress.latest,
        party=deed.party,
        intervention=intervention,
        manner=manner,
        note=note.strip(),
        closed_by=actor,
        closed_by_name=actor.printed_name,
        closed_at=at,
    )
    return finish(deed, closure)


def own_point(progress: StepProgress, party: Party) -> Intervention:
    """The kind of point that `party` has at a step; Refused if it has none."""
    code = progress.step.points.get(party)
    if code is None:
        raise Refused(_objection(progress, party, f"the {party} has no point here"))
    return Intervention(code)


def objections(
    progress: StepProgress, party: Party, intervention: Intervention, manner: Manner, note: str
) -> list[Blocker]:
    """Why the point cannot be closed in this manner with this note; empty if it can."""
    found = []
    if manner not in MANNERS[intervention]:
        found.append(_objection(progress, party, f"a {intervention} point is not {manner}"))
    if progress.closure_of(party) is not None:
        found.append(_objection(progress, party, f"the {party}'s point is closed already"))
    if manner is Manner.WAIVED and not note:
        found.append(_objection(progress, party, "waiving needs a reason"))
    if manner in (Manner.RELEASED, Manner.REVIEWED) and progress.outcome is not Outcome.CONFORMS:
        found.append(_objection(progress, party, "there is no conforming verdict to go by"))
    return found


def _objection(progress: StepProgress, party: Party, problem: str) -> Blocker:
    position, title = progress.step.position, progress.step.title
    return Blocker(
        rule="point",
        statement=f"Step {position}, {title}: {problem}.",
        step=position,
        place="point",
        party=party,
    )
