"""The steps of a repair as a rail: where each stands, its points, and which is next."""

from typing import Any

from qc.engine.plan import Intervention, Party, Point, holds_before
from qc.records.progress import StepProgress
from qc.web.loading import RepairInHand
from qc.web.pages.places import point_url, step_url


def steps_of(hand: RepairInHand, here: int | None = None) -> list[dict[str, Any]]:
    """Every step as the rail and its list draw it; `here` is the step the page is about."""
    current = here if here is not None else next_position(hand)
    return [
        {
            "number": progress.step.position,
            "title": progress.step.title,
            "state": state_of(hand, progress),
            "current": progress.step.position == current,
            "url": step_url(hand, progress.step.position),
            "say": _say(hand, progress),
            "points": [
                _point(hand, progress, point)
                for point in progress.points
                if point.intervention.gates_release
            ],
        }
        for progress in hand.progress
    ]


def next_position(hand: RepairInHand) -> int | None:
    """The first step whose verdict is not accepted, None where all are."""
    waiting = (p for p in hand.progress if not p.is_accepted)
    return next((p.step.position for p in waiting), None)


def state_of(hand: RepairInHand, progress: StepProgress) -> str:
    """The kind of mark a step carries: its outcome, conceded, held, or not started."""
    if progress.conceded_until is not None:
        return "conceded"
    if progress.outcome is not None:
        return str(progress.outcome)
    held = holds_before(hand.facts.steps, progress.step.position, hand.at)
    return "held" if held else "not_started"


def ready_to_close(progress: StepProgress, point: Point) -> bool:
    """Whether a point is open and there is what it is closed on; a witness can attend or waive.

    The inspector's are closed by a conforming verdict, by hand only where a failing one is
    conceded.
    """
    if point.closed or not point.intervention.gates_release:
        return False
    is_witness = point.intervention is Intervention.WITNESS and point.party is not Party.INSPECTOR
    return is_witness or progress.is_accepted


def _point(hand: RepairInHand, progress: StepProgress, point: Point) -> dict[str, Any]:
    shown: dict[str, Any] = {
        "kind": str(point.intervention),
        "party": str(point.party),
        "open": not point.closed,
    }
    if point.party is hand.party and ready_to_close(progress, point):
        shown["url"] = point_url(hand, progress.step.position)
        shown["label"] = "Release it" if point.intervention is Intervention.HOLD else "Close it"
    elif not point.closed:
        shown["say"] = _waits_for(progress, point)
    return shown


def _waits_for(progress: StepProgress, point: Point) -> str:
    if point.party is Party.INSPECTOR:
        return "A conforming verdict closes it."
    if not progress.is_accepted:
        return "It can be released once the verdict conforms."
    return f"The {point.party} can release it now."


def _say(hand: RepairInHand, progress: StepProgress) -> str:
    facts = next(f for f in hand.facts.steps if f.position == progress.step.position)
    missing = len(facts.evidence_missing)
    return f"Evidence missing: {', '.join(facts.evidence_missing)}" if missing else ""
