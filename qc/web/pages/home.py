"""The page everyone starts from: by project, what waits for the party and all its repairs."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from django.http import HttpRequest

from qc.accounts.access import memberships_of
from qc.accounts.models import Membership
from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.web.loading import RepairInHand, person
from qc.web.pages.due import due_shown
from qc.web.pages.places import repair_url
from qc.web.pages.steps import steps_of
from qc.web.pages.todo import next_thing, things_of_mine
from qc.web.status import status_word

_HEADINGS = {
    Party.INSPECTOR: ("My repairs", ""),
    Party.CONTRACTOR: ("Repairs", "What is missing"),
    Party.CLIENT: ("All repairs", "What waits for me"),
}
"""By party: the heading of the repairs, and of the list above them of what waits."""


def standing_word(hand: RepairInHand) -> str:
    """Where a repair stands, as a page prints it, and whether its certificate is in doubt."""
    under_review = ", under review" if _is_under_review(hand) else ""
    return f"{status_word(hand.repair.stands_at)}{under_review}"


def _is_under_review(hand: RepairInHand) -> bool:
    """Whether a report was opened after the certificate was issued, and is not closed."""
    return hand.repair.stands_at is Status.RELEASED and bool(hand.facts.reports)


def status_mark(hand: RepairInHand) -> str:
    """The kind of mark for where a repair stands."""
    if _is_under_review(hand):
        return "open"
    if hand.repair.stands_at is Status.RELEASED:
        return "conforms"
    if hand.repair.stands_at is Status.PLANNED:
        return "not_started"
    outcomes = {str(p.outcome) for p in hand.progress if p.outcome and not p.is_accepted}
    failing = outcomes & {"does_not_conform", "cannot_be_judged"}
    return sorted(failing, reverse=True)[0] if failing else "in_hand"


def home_page(request: HttpRequest, hands: Sequence[RepairInHand]) -> dict[str, Any]:
    """Everything the template writes."""
    projects = [
        _project(membership, [h for h in hands if h.repair.project_id == membership.project_id])
        for membership in memberships_of(person(request))
    ]
    return {"projects": projects}


def _project(membership: Membership, hands: Sequence[RepairInHand]) -> dict[str, Any]:
    party = membership.acts_for
    waiting = list(_waiting(hands))
    heading, waiting_heading = _HEADINGS[party]
    return {
        "project": membership.project,
        "party": party,
        "organisation": membership.project.organisation_of(party),
        "heading": heading,
        "waiting_heading": waiting_heading,
        "waiting": waiting,
        "waiting_count": sum(len(repair["things"]) for repair in waiting),
        "due": [] if party is Party.INSPECTOR else due_shown(hands),
        "repairs": [_card(hand) for hand in sorted(hands, key=_turn)],
    }


def _turn(hand: RepairInHand) -> tuple[bool, bool, str]:
    """Repairs on which this party has the turn come first, released ones last."""
    released = hand.repair.stands_at is Status.RELEASED
    return released, not next_thing(hand).url, hand.repair.number


def _waiting(hands: Iterable[RepairInHand]) -> Iterator[dict[str, Any]]:
    """The repairs on which something waits, each with the things that do."""
    for hand in hands:
        if things := things_of_mine(hand):
            yield {"title": f"{hand.repair.number} {hand.repair.title}", "things": things}


def _card(hand: RepairInHand) -> dict[str, Any]:
    is_on_site = hand.repair.stands_at is Status.ON_SITE
    return {
        "title": f"{hand.repair.number} {hand.repair.title}",
        "component": hand.repair.asset.tag,
        "url": repair_url(hand),
        "state": status_mark(hand),
        "word": standing_word(hand),
        "next": next_thing(hand).say,
        "open": len(hand.open_items) if is_on_site else 0,
        "steps": steps_of(hand),
    }
