"""Notice to a party that the work comes to its point, and the party's word that it comes."""

from datetime import datetime, timedelta
from uuid import UUID

from qc.accounts.models import Project, User
from qc.engine.lifecycle import Act, Refused
from qc.engine.plan import Blocker, Hours, Intervention, Party, Terms
from qc.engine.wording import moment_text
from qc.ledger.chain import Entry
from qc.records.models import Notice, NoticeAnswer
from qc.records.progress import StepProgress
from qc.workflow.deed import Deed, act, begin, finish
from qc.workflow.points import objection

CALLED_TO = frozenset({Intervention.HOLD, Intervention.WITNESS})
"""The kinds of points that a party comes to."""

_MINUTE = timedelta(minutes=1)


@act
def give_notice(
    *,
    repair_id: int,
    position: int,
    party: Party,
    scheduled_at: datetime,
    note: str,
    actor: User,
    at: datetime,
    act_id: UUID,
) -> Entry:
    """Tell `party` when the work comes to its hold or witness point at a step.

    Refused if that is sooner than the plan's notice period allows. A later notice takes the place
    of an earlier one; both stay on record.
    """
    deed = begin(Act.GIVE_NOTICE, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    progress = deed.step(position)
    reasons = objections_to_notice(progress, party, deed.party)
    if not reasons:
        reasons = _too_early(deed.repair.project, progress, party, scheduled_at, at)
    if reasons:
        raise Refused(*reasons)
    notice = Notice.objects.create(
        repair=deed.repair,
        step=progress.step,
        series=progress.series + 1 if progress.opens_new_series else progress.series,
        party=party,
        scheduled_at=scheduled_at,
        note=note.strip(),
        given_by=actor,
        given_by_name=actor.printed_name,
        given_at=at,
    )
    return finish(deed, notice)


@act
def accept_notice(
    *, repair_id: int, notice_id: int, note: str, actor: User, at: datetime, act_id: UUID
) -> Entry:
    """Say for the invited party that it comes."""
    deed = begin(Act.ACCEPT_NOTICE, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    progress, notice = _noticed(deed, notice_id)
    if reasons := objections_to_acceptance(progress, notice, deed.party, at):
        raise Refused(*reasons)
    answer = NoticeAnswer.objects.create(
        notice=notice,
        note=note.strip(),
        answered_by=actor,
        answered_by_name=actor.printed_name,
        answered_at=at,
    )
    return finish(deed, answer)


def objections_to_notice(progress: StepProgress, party: Party, giver: Party) -> tuple[Blocker, ...]:
    """Why `giver` cannot give `party` notice at this step, for whatever moment; empty if it can."""
    point = next((p for p in progress.points if p.party is party), None)
    problems = []
    if point is None:
        problems.append(f"the {party} has no point here")
    elif point.intervention not in CALLED_TO:
        problems.append(f"nobody is called to a {point.intervention} point")
    elif point.closed:
        problems.append(f"the {party}'s point is closed already")
    if party is giver:
        problems.append(f"the {party} gives no notice to itself")
    return tuple(objection(progress, party, problem) for problem in problems)


def objections_to_acceptance(
    progress: StepProgress, notice: Notice, party: Party, at: datetime
) -> tuple[Blocker, ...]:
    """Why `party` cannot accept this notice at `at`; empty if it can."""
    problems = []
    if notice.party != party:
        problems.append(f"the notice is to the {notice.party}, not to the {party}")
    if progress.notice_of(Party(notice.party)) != notice:
        problems.append("the notice is replaced, or the step has been done again since")
    if hasattr(notice, "answer"):
        problems.append(f"{notice.answer.answered_by_name} has accepted the notice already")
    if progress.closure_of(Party(notice.party)) is not None:
        problems.append(f"the {notice.party}'s point is closed already")
    if at > notice.scheduled_at:
        problems.append("the moment of the notice has passed")
    return tuple(objection(progress, Party(notice.party), problem) for problem in problems)


def earliest_moment(
    project: Project, progress: StepProgress, party: Party, at: datetime
) -> datetime:
    """The earliest full minute for which notice can be given to a party at a step now."""
    earliest = _terms(progress, party).earliest(at, project.working_hours)
    whole = earliest.replace(second=0, microsecond=0)
    return whole if whole == earliest else whole + _MINUTE


def period_text(terms: Terms) -> str:
    """The notice period in words: "24 h", "16 working h"; "" where there is none."""
    if terms.notice is None:
        return ""
    number, unit = terms.notice.printed.split()
    return f"{number} working {unit}" if terms.hours is Hours.WORKING else f"{number} {unit}"


def _too_early(
    project: Project, progress: StepProgress, party: Party, scheduled_at: datetime, at: datetime
) -> tuple[Blocker, ...]:
    terms = _terms(progress, party)
    if scheduled_at >= terms.earliest(at, project.working_hours):
        return ()
    zone = project.working_hours.zone
    asked = moment_text(scheduled_at, zone)
    first = moment_text(earliest_moment(project, progress, party, at), zone)
    why = "has passed"
    if terms.notice is not None:
        why = f"is too soon, the plan asks for {period_text(terms)} of notice"
    problem = f"{asked} {why}: the earliest moment is {first}"
    return (objection(progress, party, problem, rule="moment"),)


def _terms(progress: StepProgress, party: Party) -> Terms:
    return progress.terms[Intervention(progress.step.points[party])]


def _noticed(deed: Deed, notice_id: int) -> tuple[StepProgress, Notice]:
    for progress in deed.progress:
        for notice in progress.notices:
            if notice.pk == notice_id:
                return progress, notice
    raise Refused(
        Blocker(
            rule="point",
            statement="There is no such notice on this repair.",
            step=None,
            place="repair",
            party=deed.party,
        )
    )
