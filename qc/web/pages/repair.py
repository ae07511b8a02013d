"""The page of a repair: what it is, its steps, what comes next and how far it is from release."""

from typing import Any

from qc.engine.lifecycle import Act, Status
from qc.web.forms.report import ReportForm
from qc.web.loading import RepairInHand
from qc.web.pages.about import parties_shown
from qc.web.pages.component import about_shown
from qc.web.pages.gate import (
    blockers_shown,
    cleared_words,
    returns_shown,
    signatures_shown,
    signing_shown,
)
from qc.web.pages.home import standing_word, status_mark
from qc.web.pages.places import crumbs, party_line, reports_url
from qc.web.pages.report import reports_shown
from qc.web.pages.steps import steps_of
from qc.web.pages.todo import next_thing
from qc.web.pages.way import way_to_release


def repair_page(hand: RepairInHand) -> dict[str, Any]:
    """Everything the template of a repair writes."""
    return {
        "party": party_line(hand),
        "own_party": hand.party,
        "repair": hand.repair,
        "plan": hand.plan,
        "crumbs": crumbs(hand),
        "state": status_mark(hand),
        "status_word": standing_word(hand),
        "is_released": hand.repair.stands_at is Status.RELEASED,
        "parties": parties_shown(hand.repair.project),
        **about_shown(hand),
        "steps": steps_of(hand),
        "next": next_thing(hand),
        "way": way_to_release(hand),
        "blockers": blockers_shown(hand, hand.open_items),
        "cleared": cleared_words(hand),
        "signatures": signatures_shown(hand),
        "signing": signing_shown(hand),
        "returns": returns_shown(hand),
        "reports": reports_shown(hand),
        "reports_url": reports_url(hand),
        "report_form": ReportForm(hand) if hand.may(Act.REPORT_NONCONFORMANCE) else None,
        "voids": bool(hand.facts.signatures) and hand.repair.stands_at is not Status.RELEASED,
    }
