"""What waits for a person over all their projects: the list, and how much of it there is."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.http import HttpRequest

from qc.engine.wording import weekday_text
from qc.web.loading import RepairInHand, hands_at_work
from qc.web.pages.thing import NextThing
from qc.web.pages.todo import things_of_mine


@dataclass(frozen=True)
class _Waiting:
    hand: RepairInHand
    thing: NextThing

    @property
    def is_overdue(self) -> bool:
        return self.thing.due is not None and self.thing.due < self.hand.at

    @property
    def moment(self) -> datetime:
        return self.thing.due or self.hand.at


_GROUPS = (
    ("Overdue", "Its moment has passed"),
    ("Coming up", "By the clock of the site"),
    ("Open", "As soon as you can"),
)


def inbox_page(request: HttpRequest) -> dict[str, Any]:
    """Everything the template writes: the groups that hold something, the most urgent first."""
    found = [_Waiting(*pair) for pair in _waiting(hands_at_work(request))]
    dated = sorted((w for w in found if w.thing.due), key=lambda waiting: waiting.moment)
    held = (
        [w for w in dated if w.is_overdue],
        [w for w in dated if not w.is_overdue],
        [w for w in found if not w.thing.due],
    )
    return {
        "count": len(found),
        "groups": [
            {"title": title, "note": note, "things": [_shown(w) for w in things]}
            for (title, note), things in zip(_GROUPS, held, strict=True)
            if things
        ],
    }


def waiting_count(request: HttpRequest) -> int:
    """How many things wait for the person who is signed in, in a fixed number of queries."""
    return len(list(_waiting(hands_at_work(request))))


def _waiting(hands: Sequence[RepairInHand]) -> Iterator[tuple[RepairInHand, NextThing]]:
    for hand in hands:
        for thing in things_of_mine(hand):
            yield hand, thing


def _shown(waiting: _Waiting) -> dict[str, Any]:
    repair, thing = waiting.hand.repair, waiting.thing
    return {
        "repair": f"{repair.number} {repair.title}",
        "project": repair.project.title,
        "say": thing.say,
        "url": thing.url,
        "label": thing.label,
        "when": weekday_text(thing.due, waiting.hand.zone) if thing.due else "",
        "is_overdue": waiting.is_overdue,
    }
