"""Closing points: a hold is released, a witness attends, waives or lapses, a review is made."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from qc.accounts.access import listed_for
from qc.accounts.models import Membership, User
from qc.engine.lifecycle import Act, Refused
from qc.engine.plan import Blocker, Intervention, Party
from qc.engine.wording import moment_text
from qc.ledger.chain import Entry
from qc.records.models import PointClosure
from qc.records.progress import StepProgress
from qc.records.queries import membership_in
from qc.workflow.deed import act, begin, finish


class Manner(StrEnum):
    """How a point was closed."""

    RELEASED = "released"
    ATTENDED = "attended"
    WAIVED = "waived"
    REVIEWED = "reviewed"
    LAPSED = "lapsed"


MANNERS = {
    Intervention.HOLD: (Manner.RELEASED,),
    Intervention.WITNESS: (Manner.ATTENDED, Manner.WAIVED),
    Intervention.REVIEW: (Manner.REVIEWED,),
    Intervention.SURVEILLANCE: (),
}
"""The manners in which a party closes its own point of each kind. A hold is never waived."""

_ON_A_VERDICT = (Manner.RELEASED, Manner.REVIEWED)
WAITS = frozenset({Party.CONTRACTOR, Party.INSPECTOR})
"""Who is on site when a party does not come, and can say so."""


@dataclass(frozen=True, kw_only=True)
class Closing:
    """Whose point is to be closed, by whom, in what manner, saying what, when."""

    party: Party
    by: Membership
    manner: Manner
    note: str
    at: datetime


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
    party: Party | None = None,
) -> Entry:
    """Close the point of the actor's own party at a step, or let that of another `party` lapse.

    A hold is released by a listed person, and that and a review need an accepted verdict; waiving
    needs a reason. A point lapses where the plan lets it, once the moment of its notice has passed.
    """
    deed = begin(Act.CLOSE_POINT, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    progress = deed.step(position)
    closing = Closing(
        party=party or deed.party,
        by=membership_in(actor, deed.repair),
        manner=manner,
        note=note.strip(),
        at=at,
    )
    intervention = point_of(progress, closing.party)
    reasons = objections(progress, closing)
    if reasons:
        raise Refused(*reasons)
    closure = PointClosure.objects.create(
        repair=deed.repair,
        step=progress.step,
        series=progress.series,
        inspection=progress.latest,
        party=closing.party,
        intervention=intervention,
        manner=manner,
        note=closing.note,
        closed_by=actor,
        closed_by_name=actor.printed_name,
        closed_at=at,
    )
    return finish(deed, closure)


def point_of(progress: StepProgress, party: Party) -> Intervention:
    """The kind of point that `party` has at a step; Refused if it has none."""
    code = progress.step.points.get(party)
    if code is None:
        raise Refused(objection(progress, party, f"the {party} has no point here"))
    return Intervention(code)


def objections(progress: StepProgress, closing: Closing) -> list[Blocker]:
    """Why the point cannot be closed so; empty if it can."""
    intervention = point_of(progress, closing.party)
    problems = [
        *_of_the_point(progress, intervention, closing),
        *_of_the_person(intervention, closing),
        *_of_the_moment(progress, closing),
        *_of_the_verdict(progress, intervention, closing),
    ]
    return [objection(progress, closing.party, problem) for problem in problems]


def may_lapse(progress: StepProgress, intervention: Intervention) -> bool:
    """Whether the plan lets a point of this kind lapse."""
    return progress.terms[intervention].lapses


def _of_the_point(
    progress: StepProgress, intervention: Intervention, closing: Closing
) -> Iterator[str]:
    if closing.manner is Manner.LAPSED:
        if not may_lapse(progress, intervention):
            yield f"the plan lets no {intervention} point lapse"
    elif closing.manner not in MANNERS[intervention]:
        yield f"a {intervention} point is not {closing.manner}"
    if progress.closure_of(closing.party) is not None:
        yield f"the {closing.party}'s point is closed already"
    if closing.manner is Manner.WAIVED and not closing.note:
        yield "waiving needs a reason"
    if closing.manner is Manner.LAPSED and not closing.note:
        yield "say who waited, and how long"


def _of_the_person(intervention: Intervention, closing: Closing) -> Iterator[str]:
    own = closing.by.acts_for is closing.party
    if closing.manner is Manner.LAPSED:
        if own:
            yield f"the {closing.party} does not let its own point lapse: it comes or says why not"
        elif closing.by.acts_for not in WAITS:
            yield "the contractor or the inspector says that a point has lapsed"
    elif not own:
        yield f"the {closing.party} closes its point itself"
    elif intervention is Intervention.HOLD and not closing.by.releases_holds:
        yield _not_listed(closing)


def _not_listed(closing: Closing) -> str:
    listed = " or ".join(listed_for(closing.by.project_id)[closing.party]) or "nobody yet"
    return (
        f"{closing.by.user.printed_name} is not listed to release the holds of the"
        f" {closing.party}: listed is {listed}"
    )


def _of_the_moment(progress: StepProgress, closing: Closing) -> Iterator[str]:
    """A point lapses only once the moment has passed of which the party was told."""
    if closing.manner is not Manner.LAPSED:
        return
    notice = progress.notice_of(closing.party)
    if notice is None:
        yield f"the {closing.party} was given no notice, and a point lapses only after one"
    elif closing.at <= notice.scheduled_at:
        moment = moment_text(notice.scheduled_at, closing.by.project.working_hours.zone)
        yield f"the {closing.party} was told to come on {moment}, which has not passed"


def _of_the_verdict(
    progress: StepProgress, intervention: Intervention, closing: Closing
) -> Iterator[str]:
    """A hold and a review go by what was recorded, also where a hold lapses."""
    lapsing_hold = closing.manner is Manner.LAPSED and intervention is Intervention.HOLD
    if (closing.manner in _ON_A_VERDICT or lapsing_hold) and not progress.is_accepted:
        yield "there is no conforming verdict to go by, nor a concession for the one there is"


def objection(progress: StepProgress, party: Party, problem: str, rule: str = "point") -> Blocker:
    """A reason against an act on a party's point at a step."""
    position, title = progress.step.position, progress.step.title
    return Blocker(
        rule=rule,
        statement=f"Step {position}, {title}: {problem}.",
        step=position,
        place="point",
        party=party,
    )
