"""The next thing to do on a repair, for the party of the person who asks."""

from dataclasses import replace

from django.urls import reverse

from qc.engine.lifecycle import Status
from qc.engine.plan import Blocker, Intervention, Party, Point, holds_before
from qc.engine.rules import Outcome
from qc.records.progress import StepProgress
from qc.web.loading import RepairInHand
from qc.web.pages.calls import calls_on, is_called
from qc.web.pages.places import point_url, step_url, way_to
from qc.web.pages.steps import next_position, ready_to_close
from qc.web.pages.thing import NextThing

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
    if hand.repair.stands_at is Status.ON_SITE:
        return _mine_on_site(hand)
    following = next_thing(hand)
    turn = [following] if following.url and hand.repair.stands_at is not Status.RELEASED else []
    # What is open by then came to light after the last inspection.
    since = hand.open_items if hand.repair.stands_at is not Status.PLANNED else ()
    return [*turn, *(_thing(hand, b) for b in since if b.party is hand.party)]


def _mine_on_site(hand: RepairInHand) -> list[NextThing]:
    reached = next_position(hand) or len(hand.progress)
    due = [
        _thing(hand, blocker)
        for blocker in hand.open_items
        if blocker.party is hand.party and blocker.place != "point"
        if blocker.rule == "nonconformance" or (blocker.step or 0) <= reached
    ]
    calls = calls_on(hand, reached)
    return [*calls, *_points_ready(hand, reached), *due, *_draft(hand), *_to_sign(hand)]


def _draft(hand: RepairInHand) -> list[NextThing]:
    """A revision that the client has still to agree while the work goes on."""
    if hand.party is not Party.CLIENT or hand.draft is None:
        return []
    say = f"Revision {hand.draft.revision} of the plan waits for you: agree it, or comment."
    address = reverse("plan_revision", args=[hand.repair.pk, hand.draft.revision])
    return [NextThing(say=say, url=address, label="Read the revision")]


def _to_sign(hand: RepairInHand) -> list[NextThing]:
    if hand.party is not Party.INSPECTOR or hand.open_items:
        return []
    return [_for_the_inspector(hand)]


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
        if point.intervention is not Intervention.WITNESS or not is_called(progress, point)
        if progress.notice_of(point.party) is None
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
