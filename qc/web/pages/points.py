"""The intervention points of a step: code and wording of the plan, and what became of each."""

from collections.abc import Iterator, Mapping
from typing import Any

from qc.engine.plan import Party, Point, Terms, terms_of
from qc.engine.wording import moment_text, weekday_text
from qc.records.models import Notice, PointClosure
from qc.records.progress import StepProgress
from qc.web.loading import RepairInHand
from qc.workflow.notices import period_text


def points_shown(hand: RepairInHand, progress: StepProgress) -> list[dict[str, Any]]:
    """Each point: whose, on what terms, where it stands, and what was told and done about it."""
    return [_shown(hand, progress, point) for point in progress.points]


def terms_shown(stated: Mapping[str, Any]) -> list[dict[str, str]]:
    """What each code means in a plan, with the notice it asks for and whether it lapses."""
    return [
        {"term": _named(terms), "definition": ". ".join(_said_of(terms))}
        for terms in terms_of(stated).values()
    ]


def terms_changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[dict[str, str]]:
    """The codes whose meaning or notice differs, as they were and as they are."""
    was, now = terms_of(before), terms_of(after)
    return [
        {
            "term": f"Points: {_named(was[each])}",
            "definition": f"became {_named(now[each])}: {'. '.join(_said_of(now[each]))}",
        }
        for each in now
        if was[each] != now[each]
    ]


def _named(terms: Terms) -> str:
    return f"{terms.code} {terms.intervention.capitalize()}"


def _said_of(terms: Terms) -> Iterator[str]:
    yield terms.wording
    if terms.notice is not None:
        yield f"Notice: at least {period_text(terms)} ({terms.source})"
    if terms.lapses:
        yield "Lapses once the moment of the notice has passed without the party"


def standing_of(hand: RepairInHand, progress: StepProgress, point: Point) -> str:
    """Where an open point stands, in a sentence; "" for one that is closed or needs nothing."""
    if point.closed:
        return ""
    notice = progress.notice_of(point.party)
    if notice is None:
        terms = progress.terms[point.intervention]
        waits = " Later work waits for it." if point.stops_work else ""
        period = f"No notice given yet: the plan asks for {period_text(terms)}.{waits}"
        return period if terms.needs_notice else ""
    moment = weekday_text(notice.scheduled_at, hand.zone)
    if notice.scheduled_at < hand.at:
        goes_on = ": later work goes on" if point.stops_work else ""
        return f"The moment of its notice, {moment}, has passed{goes_on}."
    accepted = "accepted" if hasattr(notice, "answer") else "not accepted yet"
    return f"Called for {moment}, {accepted}."


def _shown(hand: RepairInHand, progress: StepProgress, point: Point) -> dict[str, Any]:
    terms = progress.terms[point.intervention]
    closure = progress.closure_of(point.party)
    return {
        "kind": str(point.intervention),
        "party": str(point.party),
        "code": terms.code,
        "wording": terms.wording,
        "is_open": not point.closed,
        "stops": point.intervention.gates_release,
        "standing": standing_of(hand, progress, point),
        "events": sorted(_events(hand, progress, point.party), key=lambda event: event["moment"]),
        "by_verdict": point.closed and point.party is Party.INSPECTOR and not closure,
    }


def _events(hand: RepairInHand, progress: StepProgress, party: Party) -> Iterator[dict[str, Any]]:
    """What was told, answered and closed, each with its moment; what no longer stands is gone."""
    standing = progress.notice_of(party)
    for notice in progress.notices:
        if notice.party == party:
            yield from _told(hand, notice, gone=notice != standing)
    stands = progress.closure_of(party)
    for closure in progress.closures:
        if closure.party == party:
            yield _closed(hand, closure, gone=closure != stands)


def _told(hand: RepairInHand, notice: Notice, *, gone: bool) -> Iterator[dict[str, Any]]:
    scheduled = weekday_text(notice.scheduled_at, hand.zone)
    yield {
        "moment": notice.given_at,
        "at": moment_text(notice.given_at, hand.zone),
        "say": f"Notice for {scheduled}, given by {notice.given_by_name}",
        "note": notice.note,
        "gone": gone,
    }
    if hasattr(notice, "answer"):
        yield {
            "moment": notice.answer.answered_at,
            "at": moment_text(notice.answer.answered_at, hand.zone),
            "say": f"Accepted by {notice.answer.answered_by_name}",
            "note": notice.answer.note,
            "gone": gone,
        }


def _closed(hand: RepairInHand, closure: PointClosure, *, gone: bool) -> dict[str, Any]:
    return {
        "moment": closure.closed_at,
        "at": moment_text(closure.closed_at, hand.zone),
        "say": f"{closure.manner.capitalize()} by {closure.closed_by_name}",
        "note": closure.note,
        "gone": gone,
    }
