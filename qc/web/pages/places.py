"""Where things are: the address of a step, and of the page that clears a blocker."""

from typing import Any

from django.urls import reverse

from qc.engine.lifecycle import Act
from qc.engine.plan import Blocker, Party
from qc.web.loading import RepairInHand


def repair_url(hand: RepairInHand) -> str:
    """The page of the repair."""
    return reverse("repair", args=[hand.repair.pk])


def step_url(hand: RepairInHand, position: int) -> str:
    """The page of the step at `position`."""
    return reverse("step", args=[hand.repair.pk, position])


def point_url(hand: RepairInHand, position: int) -> str:
    """The page where the person closes their own party's point."""
    return reverse("close_point", args=[hand.repair.pk, position])


def notice_url(hand: RepairInHand, position: int, party: Party) -> str:
    """The page where a party is given notice of its point."""
    return reverse("give_notice", args=[hand.repair.pk, position, party])


def lapse_url(hand: RepairInHand, position: int, party: Party) -> str:
    """The page where the point of a party that did not come is let lapse."""
    return reverse("lapse_point", args=[hand.repair.pk, position, party])


def reports_url(hand: RepairInHand) -> str:
    """The nonconformance reports of the repair."""
    return reverse("reports", args=[hand.repair.pk])


def report_url(hand: RepairInHand, number: int) -> str:
    """One nonconformance report."""
    return reverse("report", args=[hand.repair.pk, number])


def evidence_url(hand: RepairInHand, position: int) -> str:
    """The place of a step on the page of the evidence."""
    return f"{reverse('evidence', args=[hand.repair.pk])}#step-{position}"


def way_to(hand: RepairInHand, blocker: Blocker) -> tuple[str, str]:
    """(address, words of the link) of the page where a blocker can be cleared or seen."""
    repair, position = hand.repair.pk, blocker.step or 0
    match blocker.place:
        case "step":
            return step_url(hand, position), f"Go to step {position}"
        case "point":
            return _way_to_point(hand, blocker, position)
        case "evidence":
            adds = hand.may(Act.ADD_EVIDENCE)
            return evidence_url(hand, position), f"{'Add' if adds else 'See'} the evidence"
        case place if place.partition("/")[0] in _REGISTERS:
            return _way_to_register(hand, place)
        case place if place.partition("/")[0] == "report":
            return _way_to_report(hand, blocker)
        case "plan":
            return reverse("plan", args=[repair]), "See the plan"
        case _ if blocker.rule in ("status", "party"):
            return repair_url(hand), "Go to the repair"
        case _:
            return reverse("sign", args=[repair]), "Go to the signatures"


_REGISTERS = ("instruments", "instrument", "batch", "people")


def _way_to_register(hand: RepairInHand, place: str) -> tuple[str, str]:
    """A register, or the page of one thing in it: "instrument/12"."""
    page, _, row = place.partition("/")
    ids = [hand.repair.project_id, *([row] if row else [])]
    return reverse(page, args=ids), f"See the {page}"


def _way_to_report(hand: RepairInHand, blocker: Blocker) -> tuple[str, str]:
    """One report ("report/3"), or all of them."""
    number = blocker.place.partition("/")[2]
    if not number:
        return reports_url(hand), "See the reports"
    verb = "Deal with" if blocker.party is hand.party else "See"
    return report_url(hand, int(number)), f"{verb} report {number}"


def _way_to_point(hand: RepairInHand, blocker: Blocker, position: int) -> tuple[str, str]:
    """One's own point is closed on its page; the inspector's by a conforming verdict."""
    if blocker.party is hand.party is not Party.INSPECTOR:
        return point_url(hand, position), f"Close your point at step {position}"
    verb = "Go to" if blocker.party is hand.party else "See"
    return step_url(hand, position), f"{verb} step {position}"


def crumbs(hand: RepairInHand, *further: tuple[str, str]) -> list[dict[str, Any]]:
    """The way to a page of a repair; each of `further` is (label, address), the last without."""
    trail = [("Repairs", reverse("home")), (hand.repair.number, repair_url(hand)), *further]
    return [
        {"label": label, "url": address if index < len(trail) - 1 else ""}
        for index, (label, address) in enumerate(trail)
    ]


def party_line(hand: RepairInHand) -> str:
    """Who the person is here: "Inspector, Saltmarsh Quay Inspection"."""
    firm = hand.repair.project.organisation_of(hand.party)
    return f"{hand.party.capitalize()}, {firm}"
