"""What notices of points ask of a person's party: to accept, to come, to give one, to say so."""

from collections.abc import Iterator

from qc.engine.lifecycle import Act
from qc.engine.plan import Party, Point
from qc.engine.wording import weekday_text
from qc.records.models import Notice
from qc.records.progress import StepProgress
from qc.web.loading import RepairInHand
from qc.web.pages.places import lapse_url, notice_url, point_url, step_url
from qc.web.pages.steps import ready_to_close
from qc.web.pages.thing import NextThing
from qc.workflow.notices import CALLED_TO, period_text
from qc.workflow.points import WAITS, may_lapse


def calls_on(hand: RepairInHand, reached: int) -> list[NextThing]:
    """Everything that open points to which parties are called ask of this party.

    Notice is to be given of the points that the work has reached, and of the next one ahead.
    """
    found = [*_to_me(hand), *_absent(hand)]
    if hand.party is Party.CONTRACTOR and hand.may(Act.GIVE_NOTICE):
        found += _to_give(hand, reached)
    return found


def is_called(progress: StepProgress, point: Point) -> bool:
    """Whether the party of a point waits for a notice, or has one."""
    wants_notice = progress.terms[point.intervention].needs_notice
    return wants_notice or progress.notice_of(point.party) is not None


def _open_calls(hand: RepairInHand) -> Iterator[tuple[StepProgress, Point, Notice | None]]:
    for progress in hand.progress:
        for point in progress.points:
            if point.intervention in CALLED_TO and not point.closed:
                yield progress, point, progress.notice_of(point.party)


def _to_me(hand: RepairInHand) -> Iterator[NextThing]:
    for progress, point, notice in _open_calls(hand):
        if notice is None or point.party is not hand.party:
            continue
        if notice.scheduled_at < hand.at and not ready_to_close(progress, point):
            continue
        yield _to_come(hand, progress, point, notice)


def _to_come(hand: RepairInHand, progress: StepProgress, point: Point, notice: Notice) -> NextThing:
    position, when = progress.step.position, weekday_text(notice.scheduled_at, hand.zone)
    what = f"{_name(progress)}: {point.intervention} point"
    url = f"{step_url(hand, position)}#points"
    if notice.scheduled_at < hand.at:
        say, label = f"{what}, called for {when}: close it.", f"Close your point at step {position}"
        url = point_url(hand, position)
    elif hasattr(notice, "answer"):
        say, label = f"{what}: come on {when}.", f"See step {position}"
    else:
        say, label = f"{what}: accept the notice for {when}.", f"Accept at step {position}"
    return NextThing(say=say, url=url, label=label, due=notice.scheduled_at)


def _absent(hand: RepairInHand) -> Iterator[NextThing]:
    """Parties whose moment has passed, for those on site who can say that they did not come."""
    if hand.party not in WAITS or not hand.may(Act.CLOSE_POINT):
        return
    for progress, point, notice in _open_calls(hand):
        lapses = may_lapse(progress, point.intervention) and point.party is not hand.party
        if lapses and notice is not None and notice.scheduled_at < hand.at:
            position, when = progress.step.position, weekday_text(notice.scheduled_at, hand.zone)
            yield NextThing(
                say=f"{_name(progress)}: the {point.party} was called for {when}. Did it come?",
                url=lapse_url(hand, position, point.party),
                label=f"The {point.party} did not come to step {position}",
                due=notice.scheduled_at,
            )


def _to_give(hand: RepairInHand, reached: int) -> Iterator[NextThing]:
    wanting = [
        (progress, point)
        for progress, point, notice in _open_calls(hand)
        if notice is None and progress.terms[point.intervention].needs_notice
        if point.party is not hand.party and (point.stops_work or point.party is Party.CLIENT)
    ]
    ahead = [pair for pair in wanting if pair[0].step.position > reached]
    behind = [pair for pair in wanting if pair[0].step.position <= reached]
    for progress, point in behind + ahead[:1]:
        position, period = progress.step.position, period_text(progress.terms[point.intervention])
        yield NextThing(
            say=f"{_name(progress)}: the {point.party} wants {period} of notice.",
            url=notice_url(hand, position, point.party),
            label=f"Give notice of step {position}",
        )


def _name(progress: StepProgress) -> str:
    return f"Step {progress.step.position}, {progress.step.title}"
