"""What a person can do about a point now, and why what they cannot do is refused."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from django.urls import reverse

from qc.engine.lifecycle import Act
from qc.engine.plan import Blocker, Intervention, Party, Point
from qc.records.progress import StepProgress
from qc.web.forms.act import ActForm
from qc.web.loading import RepairInHand
from qc.web.pages.places import lapse_url, notice_url, point_url
from qc.workflow import Manner
from qc.workflow.notices import CALLED_TO, objections_to_acceptance
from qc.workflow.points import MANNERS, WAITS, Closing, may_lapse, objections

_CLOSE = {
    Intervention.HOLD: "Release the hold",
    Intervention.WITNESS: "Attend or waive",
    Intervention.REVIEW: "Close the review",
}
_ANY_NOTE = "-"
"""What stands for a note where only the other reasons are asked for."""

Shown = dict[str, Any]


def acts_on(hand: RepairInHand, progress: StepProgress, point: Point) -> list[Shown]:
    """The acts that the person's party has on a point: `label`, `url`, `reasons` against it.

    An act done at one press carries its `form`; the others lead to a page of their own.
    """
    if point.closed or not point.intervention.gates_release:
        return []
    offers = _OWN if point.party is hand.party else _OF_ANOTHER
    return [shown for offer in offers for shown in offer(hand, progress, point)]


def reasons_not_to_close(hand: RepairInHand, progress: StepProgress) -> list[Blocker]:
    """Why the person cannot close their own party's point in any manner now; empty if they can."""
    intervention = Intervention(progress.step.points[hand.party])
    tried = [
        objections(progress, _closing(hand, hand.party, manner)) for manner in MANNERS[intervention]
    ]
    in_the_way = tried[0] if tried and all(tried) else []
    return [*hand.reasons_against(Act.CLOSE_POINT), *in_the_way]


def reasons_not_to_lapse(hand: RepairInHand, progress: StepProgress, party: Party) -> list[Blocker]:
    """Why the person cannot let the point of another `party` lapse now; empty if they can."""
    in_the_way = objections(progress, _closing(hand, party, Manner.LAPSED))
    return [*hand.reasons_against(Act.CLOSE_POINT), *in_the_way]


def _accept(hand: RepairInHand, progress: StepProgress, point: Point) -> Iterator[Shown]:
    notice = progress.notice_of(point.party)
    if notice is None or hasattr(notice, "answer") or not hand.may(Act.ACCEPT_NOTICE):
        return
    reasons = objections_to_acceptance(progress, notice, hand.party, hand.at)
    address = reverse("accept_notice", args=[hand.repair.pk, progress.step.position, notice.pk])
    yield _act("Accept: we come", address, reasons) | {"form": ActForm()}


def _close(hand: RepairInHand, progress: StepProgress, point: Point) -> Iterator[Shown]:
    """The inspector's own is closed by a conforming verdict, by hand only where it is conceded."""
    if point.party is Party.INSPECTOR and not progress.is_accepted:
        return
    if hand.may(Act.CLOSE_POINT):
        address = point_url(hand, progress.step.position)
        label = _CLOSE[point.intervention]
        yield _act(label, address, reasons_not_to_close(hand, progress))


def _notify(hand: RepairInHand, progress: StepProgress, point: Point) -> Iterator[Shown]:
    if point.intervention in CALLED_TO and hand.may(Act.GIVE_NOTICE):
        again = progress.notice_of(point.party) is not None
        label = f"Give the {point.party} {'another' if again else 'notice'}"
        address = notice_url(hand, progress.step.position, point.party)
        yield _act(f"{label} notice" if again else label, address, ())


def _lapse(hand: RepairInHand, progress: StepProgress, point: Point) -> Iterator[Shown]:
    told = progress.notice_of(point.party) is not None
    if told and hand.party in WAITS and may_lapse(progress, point.intervention):
        if hand.may(Act.CLOSE_POINT):
            label = f"The {point.party} did not come"
            address = lapse_url(hand, progress.step.position, point.party)
            yield _act(label, address, reasons_not_to_lapse(hand, progress, point.party))


def _act(label: str, address: str, reasons: Sequence[Blocker]) -> Shown:
    said = [reason.statement for reason in reasons]
    return {"label": label, "url": address, "reasons": said}


def _closing(hand: RepairInHand, party: Party, manner: Manner) -> Closing:
    return Closing(party=party, by=hand.membership, manner=manner, note=_ANY_NOTE, at=hand.at)


_Offer = Callable[[RepairInHand, StepProgress, Point], Iterator[Shown]]
_OWN: tuple[_Offer, ...] = (_accept, _close)
_OF_ANOTHER: tuple[_Offer, ...] = (_notify, _lapse)
