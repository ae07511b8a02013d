"""The pages of nonconformance reports: what was found, what was done, and who is next."""

from collections.abc import Sequence
from typing import Any

from django.urls import reverse

from qc.engine.lifecycle import Act, Status
from qc.engine.nonconformance import (
    Disposition,
    Origin,
    ReportDeed,
    ReportState,
    deeds_open_to,
    due_next,
)
from qc.engine.plan import Intervention, Party, holds_before
from qc.engine.wording import day_text, moment_text
from qc.engine.wording.reports import DEED_WORDS, DISPOSITION_WORDS, ORIGIN_WORDS, STATE_WORDS
from qc.records.models import Handling
from qc.records.progress import StepProgress
from qc.records.reports import ReportProgress
from qc.web.forms.report import (
    CORRECT,
    FORMS,
    ConcessionForm,
    DealForm,
    ReadingsForm,
    ReportForm,
)
from qc.web.loading import RepairInHand
from qc.web.pages.history import series_shown
from qc.web.pages.places import crumbs, party_line, report_url, reports_url, step_url
from qc.workflow.report_facts import closing_inspections, step_of

_TO_DO = {
    ReportDeed.CONTAIN: "say what keeps it from going further",
    ReportDeed.PROPOSE: "propose what to do about it",
    ReportDeed.APPROVE: "decide on the proposal",
    ReportDeed.IMPLEMENT: "do the work and say what was done",
    ReportDeed.REINSPECT: "measure again and name the new readings",
    ReportDeed.CLOSE: "close the report",
}


def reports_page(hand: RepairInHand, form: ReportForm | None) -> dict[str, Any]:
    """Everything the template of the list writes."""
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "crumbs": crumbs(hand, ("Nonconformance reports", "")),
        "cards": reports_shown(hand),
        "form": form,
        "reports_url": reports_url(hand),
        "voids": bool(hand.facts.signatures) and hand.repair.stands_at is not Status.RELEASED,
    }


def reports_of_step(hand: RepairInHand, progress: StepProgress) -> list[dict[str, Any]]:
    """The reports of one step as cards."""
    return reports_shown(hand, progress.reports)


def passed_hold_url(hand: RepairInHand, progress: StepProgress) -> str:
    """Where it is reported that work went on past the hold that stops this step; or empty."""
    if not hand.may(Act.REPORT_NONCONFORMANCE):
        return ""
    held = holds_before(hand.facts.steps, progress.step.position, hand.at)
    first = next((b for b in held if b.rule == Intervention.HOLD), None)
    return f"{reports_url(hand)}?origin={Origin.HOLD}&position={first.step}#new" if first else ""


def reports_shown(
    hand: RepairInHand, reports: Sequence[ReportProgress] | None = None
) -> list[dict[str, Any]]:
    """The reports of a repair, or those given, as cards; those that are open first."""
    chosen = hand.reports if reports is None else reports
    ordered = sorted(chosen, key=lambda held: (not held.is_open, held.report.number))
    return [
        {
            "title": f"Report {held.report.number}",
            "url": report_url(hand, held.report.number),
            "state": state_mark(held),
            "word": state_words(held),
            "say": held.report.statement,
            "note": turn_words(hand, held),
        }
        for held in ordered
    ]


def report_page(hand: RepairInHand, held: ReportProgress, sent: DealForm | None) -> dict[str, Any]:
    """Everything the template of one report writes; `sent` is the form that was refused."""
    if isinstance(sent, ConcessionForm):
        sent.show(_seen(hand, held))
    report = held.report
    return {
        "party": party_line(hand),
        "repair": hand.repair,
        "report": report,
        "crumbs": crumbs(
            hand,
            ("Nonconformance reports", reports_url(hand)),
            (f"Report {report.number}", ""),
        ),
        "state": state_mark(held),
        "state_words": state_words(held),
        "is_open": held.is_open,
        "about": _about(hand, held),
        "verdict": report.inspection.verdict if report.inspection else None,
        "series": _readings(hand, held),
        "concession": _concession(held),
        "events": [_event(hand, held, handling) for handling in held.handlings],
        "turn": turn_words(hand, held),
        "proposal": _proposal(held),
        "measure_url": _measure_url(hand, held),
        "ways": ways_shown(hand, held, sent),
        "sent": sent,
    }


def state_mark(held: ReportProgress) -> str:
    """The kind of mark a report carries."""
    if held.is_open:
        return "open"
    return "conceded" if held.disposition is Disposition.USE_AS_IS else "closed"


def state_words(held: ReportProgress) -> str:
    """Where a report stands, with the disposition in hand."""
    which = f", {DISPOSITION_WORDS[held.disposition]}" if held.disposition else ""
    return f"{STATE_WORDS[held.state]}{which}"


def turn_words(hand: RepairInHand, held: ReportProgress) -> str:
    """Who is to do what next; empty once the report is closed."""
    due = due_next(held.state, _in_hand(hand, held))
    if due is None:
        return ""
    party = due.parties[0]
    who = "Your turn" if party is hand.party else f"The {party} has the turn"
    return f"{who}: {_TO_DO[due.deed]}."


def ways_shown(
    hand: RepairInHand, held: ReportProgress, sent: DealForm | None
) -> list[dict[str, Any]]:
    """A form for each deed that the person has; the one that leads on stands open."""
    due = due_next(held.state, _in_hand(hand, held))
    names = _names_of_ways(hand, held)
    shown = []
    for name in names:
        form = form_for(hand, held, name) if sent is None or sent.prefix != name else sent
        is_due = due is not None and FORMS[name].deed is due.deed and hand.party in due.parties
        shown.append(
            {
                "name": name,
                "form": form,
                "label": form.label,
                "grave": form.grave,
                "main": is_due and (name == CORRECT) is (CORRECT in names),
                "is_open": form is sent,
                "url": reverse("deal", args=[hand.repair.pk, held.report.number, name]),
            }
        )
    return sorted(shown, key=lambda way: not way["main"])


def form_for(hand: RepairInHand, held: ReportProgress, name: str, data: Any = None) -> DealForm:
    """The form of one way, perhaps with what was sent."""
    kind = FORMS[name]
    if name == ReportDeed.APPROVE and held.disposition in (
        Disposition.REPAIR,
        Disposition.USE_AS_IS,
    ):
        kind = ConcessionForm
    form = kind(data, prefix=name)
    if isinstance(form, ReadingsForm):
        form.offer(hand, closing_inspections(held, hand.progress, corrections=name == CORRECT))
    if isinstance(form, ConcessionForm) and data is None:
        form.show(_seen(hand, held))
    return form


def _seen(hand: RepairInHand, held: ReportProgress) -> int | None:
    """The inspection whose verdict would be accepted as it is."""
    progress = step_of(held, hand.progress)
    is_accepting = held.disposition is Disposition.USE_AS_IS
    return progress.latest.pk if is_accepting and progress and progress.latest else None


def _names_of_ways(hand: RepairInHand, held: ReportProgress) -> list[str]:
    if not hand.may(Act.HANDLE_NONCONFORMANCE):
        return []
    names = [
        str(d) for d in ReportDeed if d in deeds_open_to(held.state, held.disposition, hand.party)
    ]
    if _is_corrected(hand, held) and hand.party is Party.INSPECTOR:
        names.append(CORRECT)
    new_readings = closing_inspections(held, hand.progress)
    return [n for n in names if n != ReportDeed.REINSPECT or new_readings]


def _is_corrected(hand: RepairInHand, held: ReportProgress) -> bool:
    return held.is_open and bool(closing_inspections(held, hand.progress, corrections=True))


def _in_hand(hand: RepairInHand, held: ReportProgress) -> Disposition | None:
    return Disposition.CORRECTION if _is_corrected(hand, held) else held.disposition


def _measure_url(hand: RepairInHand, held: ReportProgress) -> str:
    """Where new readings are taken, while there are none to name."""
    progress = step_of(held, hand.progress)
    waits = held.state is ReportState.IMPLEMENTED and hand.party is Party.INSPECTOR
    if not waits or progress is None or closing_inspections(held, hand.progress):
        return ""
    return step_url(hand, progress.step.position)


def _about(hand: RepairInHand, held: ReportProgress) -> list[dict[str, str]]:
    report, progress = held.report, step_of(held, hand.progress)
    where = {"term": "Where", "definition": str(report.step or "The repair as a whole")}
    if progress is not None:
        where["url"] = step_url(hand, progress.step.position)
    opened = f"{moment_text(report.opened_at, hand.zone)}, {report.opened_by_name} ({report.party})"
    return [
        {"term": "What opened it", "definition": ORIGIN_WORDS[Origin(report.origin)]},
        where,
        {"term": "Opened", "definition": opened},
    ]


def _readings(hand: RepairInHand, held: ReportProgress) -> dict[str, Any] | None:
    """The readings of the series that did not conform, with what was read before and after."""
    progress, found = step_of(held, hand.progress), held.report.inspection
    if progress is None or found is None:
        return None
    every: Sequence[dict[str, Any]] = series_shown(hand, progress)
    return next((series for series in every if series["number"] == found.series), None)


def _proposal(held: ReportProgress) -> list[dict[str, str]]:
    """What is to be decided on, or to be done, in the words of who proposed it."""
    proposed = held.last(ReportDeed.PROPOSE)
    if proposed is None or held.disposition is None or not held.is_open:
        return []
    said = {"term": "Proposed", "definition": DISPOSITION_WORDS[held.disposition].capitalize()}
    return [said, {"term": "How, and why", "definition": proposed.text}]


def _concession(held: ReportProgress) -> list[dict[str, str]]:
    approval = held.approval
    if approval is None or held.concession is None or held.concession.until is None:
        return []
    return [
        {"term": "Covers", "definition": held.concession.scope},
        {"term": "Last day", "definition": day_text(held.concession.until)},
        {"term": "Granted by", "definition": f"{approval.done_by_name} ({approval.party})"},
    ]


def _event(hand: RepairInHand, held: ReportProgress, handling: Handling) -> dict[str, Any]:
    deed, disposition = ReportDeed(handling.deed), handling.disposition
    names_it = deed in (ReportDeed.PROPOSE, ReportDeed.APPROVE, ReportDeed.DECLINE)
    which = f" {DISPOSITION_WORDS[Disposition(disposition)]}" if disposition and names_it else ""
    return {
        "at": moment_text(handling.done_at, hand.zone),
        "who": f"{handling.done_by_name} ({handling.party})",
        "did": f"{DEED_WORDS[deed]}{which}",
        "state": STATE_WORDS[ReportState(handling.state)],
        "text": handling.text,
        "scope": handling.concession_scope,
        "until": day_text(handling.concession_until) if handling.concession_until else "",
        "inspection": _inspection_link(hand, handling),
        "is_end": handling.state == ReportState.CLOSED,
    }


def _inspection_link(hand: RepairInHand, handling: Handling) -> dict[str, str] | None:
    found = handling.inspection
    progress = hand.step_of(found) if found else None
    if found is None or progress is None:
        return None
    return {
        "label": f"Readings of {moment_text(found.observed_at, hand.zone)}",
        "url": f"{step_url(hand, progress.step.position)}#inspection-{found.pk}",
    }
