"""The next thing to do on a repair, for the party of the person who asks."""

from dataclasses import dataclass, replace

from django.urls import reverse

from qc.engine.lifecycle import Status
from qc.engine.plan import Blocker, Party, Point, holds_before
from qc.engine.rules import Outcome
from qc.records.progress import StepProgress
from qc.web.loading import RepairInHand
from qc.web.pages.places import point_url, step_url, way_to
from qc.web.pages.steps import next_position, ready_to_close


@dataclass(frozen=True, kw_only=True)
class NextThing:
    """What happens next. With `url` it is this person's to do; else somebody else has the turn."""

    say: str
    url: str = ""
    label: str = ""


_AT_THE_DESK = {
    Status.PLANNED: (Party.CLIENT, "agree the plan", "plan", "Read and agree the plan"),
    Status.INSPECTED: (Party.CONTRACTOR, "sign for the work", "sign", "Check and sign the work"),
    Status.WITH_CLIENT: (
        Party.CLIENT,
        "approve the record or return it",
        "sign",
        "Check and approve, or return",
    ),
    Status.APPROVED: (
        Party.CLIENT,
        "make the certificate",
        "sign",
        "Make the certificate",
    ),
}
"""Away from the site one party has the turn: who, what, and the page where it is done."""


def next_thing(hand: RepairInHand) -> NextThing:
    """What to do next, or who has the turn."""
    status = hand.repair.stands_at
    if status is Status.ON_SITE:
        return _on_site(hand)
    if status is Status.RELEASED:
        return _released(hand)
    party, what, place, label = _AT_THE_DESK[status]
    if party is not hand.party:
        return NextThing(say=f"The {party} has the turn: to {what}.")
    address = reverse(place, args=[hand.repair.pk])
    return NextThing(say=f"Your turn: {what}.", url=address, label=label)


def things_of_mine(hand: RepairInHand) -> list[NextThing]:
    """Everything on the repair that waits for this person's party and can be done now.

    Steps that the work has not reached yet are left out; the gate of the repair lists them.
    """
    if hand.repair.stands_at is Status.RELEASED:
        return [_thing(hand, blocker) for blocker in _under_review(hand, hand.party)]
    if hand.repair.stands_at is not Status.ON_SITE:
        following = next_thing(hand)
        return [following] if following.url else []
    reached = next_position(hand) or len(hand.progress)
    due = [
        _thing(hand, blocker)
        for blocker in hand.open_items
        if blocker.party is hand.party and blocker.place != "point"
        if (blocker.step or 0) <= reached or blocker.rule == "nonconformance"
    ]
    return [*_points_ready(hand, reached), *due]


def _released(hand: RepairInHand) -> NextThing:
    """The certificate, or the report that puts it under review."""
    under_review = _under_review(hand)
    if under_review:
        mine = _under_review(hand, hand.party)
        thing = _thing(hand, (mine or under_review)[0])
        return replace(thing, say=f"The certificate is under review: {thing.say}")
    address = reverse("certificate", args=[hand.repair.pk])
    return NextThing(say="The certificate is issued.", url=address, label="Open the certificate")


def _under_review(hand: RepairInHand, party: Party | None = None) -> list[Blocker]:
    """The reports that are open, perhaps only those that wait for a party."""
    return [
        blocker
        for blocker in hand.open_items
        if blocker.rule == "nonconformance" and party in (None, blocker.party)
    ]


def _on_site(hand: RepairInHand) -> NextThing:
    if hand.party is Party.INSPECTOR:
        return _for_the_inspector(hand)
    mine = things_of_mine(hand)
    return mine[0] if mine else _who_has_the_turn(hand)


def _for_the_inspector(hand: RepairInHand) -> NextThing:
    position = next_position(hand)
    if position is None:
        if hand.open_items:
            mine = things_of_mine(hand)
            return mine[0] if mine else _who_has_the_turn(hand)
        address = reverse("sign", args=[hand.repair.pk])
        return NextThing(say="Nothing is open.", url=address, label="Check and sign the inspection")
    held = holds_before(hand.facts.steps, position, hand.at)
    if held:
        return NextThing(say=f"Held: {held[0].statement}")
    return NextThing(
        say=_say(hand, position), url=step_url(hand, position), label=f"Record step {position}"
    )


def _who_has_the_turn(hand: RepairInHand) -> NextThing:
    """Nothing to do for this party now: what the others are at."""
    position = next_position(hand)
    if position is not None:
        return NextThing(say=f"On site: {_say(hand, position)}")
    if hand.open_items:
        first = hand.open_items[0]
        return NextThing(say=f"Waiting for the {first.party}: {first.statement}")
    return NextThing(say="Nothing is open: the inspector signs next.")


_STANDS = {
    None: "is next",
    Outcome.DOES_NOT_CONFORM: "does not conform: rework it, then read again",
    Outcome.INCOMPLETE: "is incomplete",
    Outcome.CANNOT_BE_JUDGED: "cannot be judged: read again",
}


def _say(hand: RepairInHand, position: int) -> str:
    progress = next(p for p in hand.progress if p.step.position == position)
    return f"Step {position}, {progress.step.title}, {_STANDS[progress.outcome]}."


def _points_ready(hand: RepairInHand, reached: int) -> list[NextThing]:
    return [
        _point_ready(hand, progress, point)
        for progress in hand.progress[:reached]
        for point in progress.points
        if point.party is hand.party and ready_to_close(progress, point)
    ]


def _point_ready(hand: RepairInHand, progress: StepProgress, point: Point) -> NextThing:
    position, title = progress.step.position, progress.step.title
    conforms = ", the verdict conforms" if progress.outcome is Outcome.CONFORMS else ""
    return NextThing(
        say=f"Step {position}, {title}: {point.intervention} point{conforms}.",
        url=point_url(hand, position),
        label=f"Look at step {position} and close the point",
    )


def _thing(hand: RepairInHand, blocker: Blocker) -> NextThing:
    address, label = way_to(hand, blocker)
    return NextThing(say=blocker.statement, url=address, label=label)
