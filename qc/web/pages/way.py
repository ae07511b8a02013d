"""How far a repair is from its release, as a picture and in words."""

from dataclasses import dataclass
from typing import Any

from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.web.loading import RepairInHand


@dataclass(frozen=True)
class Stretch:
    """One kind of thing that the release asks for: how many are done, of how many.

    `names` are its name for one of them and for several.
    """

    label: str
    names: tuple[str, str]
    done: int
    of: int

    @property
    def squares(self) -> list[bool]:
        """One for each, those done first."""
        return [True] * self.done + [False] * (self.of - self.done)

    @property
    def to_go(self) -> str:
        """What is left, in words; "" where nothing is."""
        left = self.of - self.done
        return f"{left} {self.names[left > 1]}" if left else ""


def way_to_release(hand: RepairInHand) -> dict[str, Any]:
    """The stretches of the way, and what is left of it in a sentence."""
    stretches = [stretch for stretch in _stretches(hand) if stretch.of]
    return {"stretches": stretches, "say": _said(hand, [s.to_go for s in stretches if s.to_go])}


_EVIDENCE = ("piece of evidence", "pieces of evidence")
_SIGNATURES = ("signature", "signatures")


def _stretches(hand: RepairInHand) -> tuple[Stretch, ...]:
    steps = hand.progress
    points = [p for step in steps for p in step.points if p.intervention.gates_release]
    asked = sum(len(step.step.evidence) for step in steps)
    missing = sum(len(facts.evidence_missing) for facts in hand.facts.steps)
    reports, still_open = hand.repair.nonconformances.count(), len(hand.facts.reports)
    accepted = sum(step.is_accepted for step in steps)
    return (
        Stretch("Steps accepted", ("step", "steps"), accepted, len(steps)),
        Stretch("Points closed", ("point", "points"), sum(p.closed for p in points), len(points)),
        Stretch("Evidence on record", _EVIDENCE, asked - missing, asked),
        Stretch("Reports closed", ("report", "reports"), reports - still_open, reports),
        Stretch("Signatures given", _SIGNATURES, len(hand.facts.signatures), len(Party)),
    )


def _said(hand: RepairInHand, left: list[str]) -> str:
    if hand.repair.stands_at is Status.RELEASED:
        return "The certificate is issued." if not left else f"Open since: {_listed(left)}."
    if not left:
        return "Nothing is left but the certificate itself."
    return f"To the release: {_listed(left)} to go."


def _listed(left: list[str]) -> str:
    return f"{', '.join(left[:-1])} and {left[-1]}" if len(left) > 1 else left[0]
