"""The page on which a party closes its intervention point."""

from typing import Any

from qc.engine.lifecycle import Act
from qc.engine.plan import Blocker, Intervention
from qc.records.progress import StepProgress
from qc.web.forms.point import PointForm
from qc.web.loading import RepairInHand
from qc.web.pages.evidence import files_by_step, wants_of
from qc.web.pages.gate import blockers_shown
from qc.web.pages.history import latest_verdict, series_shown
from qc.web.pages.places import crumbs, evidence_url, party_line, step_url
from qc.web.pages.plan import INTERVENTIONS
from qc.web.pages.shift import shift_of
from qc.web.pages.step import asked_lines, points_shown
from qc.workflow.points import MANNERS, objections


def point_page(
    hand: RepairInHand, progress: StepProgress, intervention: Intervention, form: PointForm
) -> dict[str, Any]:
    """Everything the template writes."""
    step = progress.step
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "step": step,
        "intervention": intervention,
        "meaning": INTERVENTIONS[intervention],
        "crumbs": crumbs(
            hand, (f"Step {step.position}", step_url(hand, step.position)), ("Close the point", "")
        ),
        "verdict": latest_verdict(progress),
        "asked": asked_lines(hand, step),
        "series": series_shown(hand, progress)[:1],
        "shift": shift_of(hand, progress),
        "points": [{**point, "url": ""} for point in points_shown(hand, progress)],
        "evidence": wants_of(step, files_by_step(hand)[step.key]),
        "evidence_url": evidence_url(hand, step.position),
        "reasons": blockers_shown(hand, reasons_not_to_close(hand, progress, intervention)),
        "form": form,
    }


def reasons_not_to_close(
    hand: RepairInHand, progress: StepProgress, intervention: Intervention
) -> list[Blocker]:
    """Why the point cannot be closed in any manner now; empty if it can."""
    reasons = list(hand.reasons_against(Act.CLOSE_POINT))
    tried = [
        objections(progress, hand.party, intervention, manner, "a reason")
        for manner in MANNERS[intervention]
    ]
    if all(tried):
        reasons += tried[0] if tried else []
    return reasons
