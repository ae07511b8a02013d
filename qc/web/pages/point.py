"""The pages of a point: where its party closes it, is given notice of it, or did not come to it."""

from calendar import day_abbr
from typing import Any

from qc.engine.plan import Hours, Intervention, Party, Terms
from qc.records.progress import StepProgress
from qc.web.forms.notice import LapseForm, NoticeForm
from qc.web.forms.point import PointForm
from qc.web.loading import RepairInHand
from qc.web.pages.evidence import files_by_step, wants_of
from qc.web.pages.gate import blockers_shown
from qc.web.pages.history import latest_verdict, series_shown
from qc.web.pages.places import crumbs, evidence_url, party_line, step_url
from qc.web.pages.point_acts import reasons_not_to_close
from qc.web.pages.points import points_shown, standing_of
from qc.web.pages.shift import shift_of
from qc.web.pages.step import asked_lines
from qc.workflow.notices import period_text


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
        "meaning": progress.terms[intervention].wording,
        "crumbs": crumbs(
            hand, (f"Step {step.position}", step_url(hand, step.position)), ("Close the point", "")
        ),
        "verdict": latest_verdict(progress),
        "asked": asked_lines(hand, step),
        "series": series_shown(hand, progress)[:1],
        "shift": shift_of(hand, progress),
        "points": points_shown(hand, progress),
        "evidence": wants_of(step, files_by_step(hand)[step.key]),
        "evidence_url": evidence_url(hand, step.position),
        "reasons": blockers_shown(hand, reasons_not_to_close(hand, progress)),
        "form": form,
    }


def notice_page(
    hand: RepairInHand, progress: StepProgress, told: Party, form: NoticeForm
) -> dict[str, Any]:
    """Everything the template writes."""
    terms = progress.terms[Intervention(progress.step.points[told])]
    return {
        **_of_point(hand, progress, told, "Give notice"),
        "asked": f"{terms.code}: {terms.wording}",
        "source": _period(terms),
        "working": _working_hours(hand) if terms.hours is Hours.WORKING else "",
        "form": form,
    }


def lapse_page(
    hand: RepairInHand, progress: StepProgress, absent: Party, form: LapseForm
) -> dict[str, Any]:
    """Everything the template writes."""
    point = next(p for p in progress.points if p.party is absent)
    return {
        **_of_point(hand, progress, absent, "Let the point lapse"),
        "standing": standing_of(hand, progress, point),
        "form": form,
    }


def _of_point(hand: RepairInHand, progress: StepProgress, told: Party, here: str) -> dict[str, Any]:
    step = progress.step
    way = (f"Step {step.position}", step_url(hand, step.position))
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "step": step,
        "told": told,
        "intervention": step.points[told],
        "crumbs": crumbs(hand, way, (here, "")),
        "points": points_shown(hand, progress),
    }


def _period(terms: Terms) -> str:
    """The notice that the plan asks for, with its source."""
    if terms.notice is None:
        return "The plan states no notice period."
    return f"At least {period_text(terms)} of notice; {terms.source}"


def _working_hours(hand: RepairInHand) -> str:
    """The hours that count, in words: "Working hours: Mon, Tue, 07:00 to 17:00."."""
    hours = hand.repair.project.working_hours
    days = ", ".join(day_abbr[day - 1] for day in sorted(hours.days))
    return f"Working hours of the site: {days}, {hours.starts:%H:%M} to {hours.ends:%H:%M}."
