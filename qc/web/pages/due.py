"""Released repairs whose next inspection is near or past."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from qc.engine.lifecycle import Status
from qc.engine.wording import day_text
from qc.records.models import Repair
from qc.web.loading import RepairInHand
from qc.web.pages.places import repair_url

SOON = 60
"""Days before an inspection falls due from which the home page lists it."""


def due_shown(hands: Iterable[RepairInHand]) -> list[dict[str, Any]]:
    """The released repairs to inspect within `SOON` days, and those overdue, the earliest first."""
    near = [(due, hand) for hand in hands if (due := _due_soon(hand))]
    near.sort(key=lambda one: (one[0], one[1].repair.number))
    return [_card(hand, due) for due, hand in near]


def _due_soon(hand: RepairInHand) -> date | None:
    due, today = hand.repair.next_inspection, hand.facts.day
    is_released = hand.repair.stands_at is Status.RELEASED
    if not (is_released and due and today):
        return None
    return due if (due - today).days <= SOON else None


def _card(hand: RepairInHand, due: date) -> dict[str, Any]:
    days = (due - hand.facts.day).days if hand.facts.day else 0
    overdue = days < 0
    return {
        "title": f"{hand.repair.number} {hand.repair.title}",
        "url": repair_url(hand),
        "say": f"{hand.repair.asset.tag}. Next inspection by {day_text(due)}, {_left(days)}.",
        "state": "held" if overdue else "in_hand",
        "word": "Overdue" if overdue else "Due",
    }


def _left(days: int) -> str:
    if days == 0:
        return "today"
    count = f"{abs(days)} day{'' if abs(days) == 1 else 's'}"
    return f"{count} ago" if days < 0 else f"in {count}"


def settings_shown(repair: Repair, zone: Any) -> list[dict[str, str]]:
    """Every time the day was set, by whom and why, the latest first."""
    return [
        {
            "term": f"{day_text(row.set_at.astimezone(zone).date())}, {row.set_by_name}",
            "definition": f"{f'By {day_text(row.due_on)}' if row.due_on else 'No more'}:"
            f" {row.reason}",
        }
        for row in reversed(repair.inspections_due.all())
    ]
