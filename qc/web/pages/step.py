"""The page of a step: what is asked, what stands open at it, and what has been recorded."""

from typing import Any

from qc.engine.lifecycle import Act
from qc.engine.plan import Blocker, Doubt
from qc.engine.wording import Asked, asked_of
from qc.records.models import PlanStep
from qc.records.progress import StepProgress
from qc.web.forms.observation import ObservationForm
from qc.web.loading import RepairInHand
from qc.web.pages.evidence import files_by_step, wants_of
from qc.web.pages.gate import blockers_shown
from qc.web.pages.history import latest_verdict, series_shown
from qc.web.pages.places import crumbs, evidence_url, party_line, step_url
from qc.web.pages.point_acts import acts_on
from qc.web.pages.points import points_shown
from qc.web.pages.report import passed_hold_url, reports_of_step
from qc.web.pages.shift import shift_of
from qc.web.pages.steps import state_of, steps_of
from qc.web.pages.where import where_url
from qc.web.pages.windows import windows_shown
from qc.workflow.inspections import may_open_series

AGAIN = "again"
"""What an address says for a form that begins a new series."""


def step_page(
    hand: RepairInHand, progress: StepProgress, form: ObservationForm | None
) -> dict[str, Any]:
    """Everything the template of a step writes."""
    step = progress.step
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "step": step,
        "crumbs": crumbs(hand, (f"Step {step.position}", "")),
        "state": state_of(hand, progress),
        "verdict": latest_verdict(progress),
        "asked": asked_lines(hand, step),
        "people_asked": people_asked(step),
        "where_url": where_url(hand, step),
        "series": series_shown(hand, progress),
        "cautions": [*step.cautions, *step.checks.cautions],
        "opens_new_series": progress.opens_new_series,
        "begins_anew": bool(form and form.work.begins_anew),
        "windows": windows_shown(hand, progress),
        **_again(hand, progress, form),
        "shift": shift_of(hand, progress),
        "steps": steps_of(hand, here=step.position),
        "points": points_with_acts(hand, progress),
        "evidence": wants_of(step, files_by_step(hand)[step.key]),
        "evidence_url": evidence_url(hand, step.position),
        "reports": reports_of_step(hand, progress),
        "passed_url": passed_hold_url(hand, progress),
        **_not_now(hand, progress),
        "form": form,
        **neighbours(hand, progress),
    }


def asked_lines(hand: RepairInHand, step: PlanStep) -> tuple[Asked, ...]:
    """The criteria of a step in words."""
    return asked_of(step.checks, step.criteria, step.sources, hand.zone)


def people_asked(step: PlanStep) -> list[str]:
    """What the people of a step must hold, a line a trade: "applicator: composite wrap"."""
    return [f"{trade}: {', '.join(scopes)}" for trade, scopes in step.qualifications.items()]


def reasons_not_to_record(hand: RepairInHand, progress: StepProgress) -> tuple[Blocker, ...]:
    """Why no reading can be entered now."""
    return hand.reasons_against(Act.RECORD_INSPECTION, progress.step.position)


def doubts_of_step(hand: RepairInHand, progress: StepProgress) -> tuple[Doubt, ...]:
    """Why what was recorded on a step can't be relied on."""
    position = progress.step.position
    return next((f.doubts for f in hand.facts.steps if f.position == position), ())


def _again(
    hand: RepairInHand, progress: StepProgress, form: ObservationForm | None
) -> dict[str, Any]:
    """What is in doubt, whether a revision asks for the step again, and the way to begin anew."""
    doubts = doubts_of_step(hand, progress)
    standing = [doubt for doubt in doubts if doubt.stands_on(hand.facts.day)]
    is_offered = form is not None and not progress.opens_new_series
    offered = is_offered and may_open_series(progress, doubts)
    address = step_url(hand, progress.step.position)
    return {
        "doubts": [f"{d.statement[:1].upper()}{d.statement[1:]}." for d in standing],
        "again_url": f"{address}?{AGAIN}=1#enter" if offered else "",
        "is_revised": bool(progress.inspections) and not progress.counting,
    }


def _not_now(hand: RepairInHand, progress: StepProgress) -> dict[str, Any]:
    """What is in the way of a reading; or, where the party or the status has none, why in words."""
    reasons = reasons_not_to_record(hand, progress)
    if hand.may(Act.RECORD_INSPECTION):
        return {"reasons": blockers_shown(hand, reasons)}
    return {"no_entry": " ".join(reason.statement for reason in reasons)}


def points_with_acts(hand: RepairInHand, progress: StepProgress) -> list[dict[str, Any]]:
    """The points of the step, each with what the person can do about it now."""
    shown = points_shown(hand, progress)
    return [
        {**one, "acts": acts_on(hand, progress, point)}
        for one, point in zip(shown, progress.points, strict=True)
    ]


def neighbours(hand: RepairInHand, progress: StepProgress) -> dict[str, Any]:
    """The steps before and after, for the way along the rail."""
    position = progress.step.position
    near = {"before": hand.step(position - 1), "after": hand.step(position + 1)}
    return {
        name: {
            "url": step_url(hand, found.step.position),
            "label": f"{found.step.position} {found.step.title}",
        }
        for name, found in near.items()
        if found is not None
    }
