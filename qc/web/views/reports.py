"""Nonconformance reports: the list, reporting one, and dealing with one."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from qc.engine.lifecycle import Act
from qc.records.models import Nonconformance
from qc.records.reports import ReportProgress
from qc.web.forms.report import FORMS, ReportForm
from qc.web.loading import RepairInHand, person, repair_in_hand
from qc.web.pages.report import form_for, report_page, reports_page
from qc.workflow import handle_nonconformance, report_nonconformance


def reports(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The reports of a repair, and reporting what somebody saw."""
    hand = repair_in_hand(request, repair_id)
    was_signed = bool(hand.facts.signatures)
    form = ReportForm(hand, request.POST or None, initial=request.GET.dict())
    if request.method == "POST":
        who, at = person(request), timezone.now()
        entry = form.perform(report_nonconformance, actor=who, repair_id=repair_id, at=at)
        if entry:
            number = entry.stated(Nonconformance)[0]["number"]
            back = " The signatures no longer count: the record is back on site."
            messages.success(request, f"Report {number} is open.{back if was_signed else ''}")
            return redirect("report", repair_id, number)
    may = hand.may(Act.REPORT_NONCONFORMANCE)
    page = reports_page(hand, form if may or form.is_bound else None)
    return render(request, "qc/reports.html", page, status=form.status)


@require_safe
def report(request: HttpRequest, repair_id: int, number: int) -> HttpResponse:
    """One report."""
    hand = repair_in_hand(request, repair_id)
    page = report_page(hand, _numbered(hand, number), None)
    return render(request, "qc/report.html", page)


@require_POST
def deal(request: HttpRequest, repair_id: int, number: int, way: str) -> HttpResponse:
    """One deed about a report."""
    hand = repair_in_hand(request, repair_id)
    held = _numbered(hand, number)
    if way not in FORMS:
        raise Http404
    form = form_for(hand, held, way, request.POST)
    facts = {"repair_id": repair_id, "number": number, "at": timezone.now()}
    if form.perform(handle_nonconformance, actor=person(request), **facts):
        messages.success(request, f"Report {number}: it is recorded.")
        return redirect("report", repair_id, number)
    page = report_page(hand, held, form)
    return render(request, "qc/report.html", page, status=form.status)


def _numbered(hand: RepairInHand, number: int) -> ReportProgress:
    found = next((held for held in hand.reports if held.report.number == number), None)
    if found is None:
        raise Http404
    return found
