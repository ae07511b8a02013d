"""The instruments of a project: their list, the page of each, and what is entered about them."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from qc.records.models import Calibration, Instrument, InstrumentCheck
from qc.web.forms.instruments import CalibrationForm, CheckForm, InstrumentForm, WithdrawForm
from qc.web.pages.instrument import calibrations_page, entering_page, instrument_page
from qc.web.pages.registers import instruments_page, register_of
from qc.workflow import add_calibration, add_instrument, check_instrument, withdraw_calibration


def instruments(request: HttpRequest, project_id: int) -> HttpResponse:
    """The instruments of a project, and entering one."""
    hand = register_of(request, project_id, timezone.now())
    form = InstrumentForm(request.POST or None)
    if form.is_bound:
        if entry := form.perform(add_instrument, **hand.doing):
            (made,) = entry.stated(Instrument)
            said = f"{made['identifier']} is in the register: enter its calibration."
            messages.success(request, said)
            return redirect("calibrations", project_id, made["id"])
    return render(request, "qc/instruments.html", instruments_page(hand, form), status=form.status)


def instrument(request: HttpRequest, project_id: int, instrument_id: int) -> HttpResponse:
    """One instrument: calibrations, checks, and every inspection made with it."""
    hand = register_of(request, project_id, timezone.now())
    found = get_object_or_404(hand.project.instruments, pk=instrument_id)
    return render(request, "qc/instrument.html", instrument_page(hand, found))


def calibrations(request: HttpRequest, project_id: int, instrument_id: int) -> HttpResponse:
    """The calibrations of an instrument, and entering one."""
    hand = register_of(request, project_id, timezone.now())
    found = get_object_or_404(hand.project.instruments, pk=instrument_id)
    form = CalibrationForm(request.POST or None, request.FILES or None)
    if form.is_bound:
        if entry := form.perform(add_calibration, **hand.doing, instrument_id=found.pk):
            (made,) = entry.stated(Calibration)
            messages.success(request, f"Calibration {made['certificate']} is in the register.")
            return redirect("calibrations", project_id, found.pk)
    page = calibrations_page(hand, found, form)
    return render(request, "qc/calibrations.html", page, status=form.status)


def check(request: HttpRequest, project_id: int, instrument_id: int) -> HttpResponse:
    """A check of an instrument against a reference."""
    hand = register_of(request, project_id, timezone.now())
    found = get_object_or_404(hand.project.instruments, pk=instrument_id)
    form = CheckForm(found, hand.zone, request.POST or None, now=hand.now)
    if form.is_bound:
        if entry := form.perform(check_instrument, **hand.doing, instrument_id=found.pk):
            (made,) = entry.stated(InstrumentCheck)
            if made["passed"]:
                messages.success(request, "The check passed and is in the register.")
            else:
                said = "The check failed: what rests on the instrument is listed below."
                messages.warning(request, said)
            return redirect("instrument", project_id, found.pk)
    page = entering_page(hand, found, form, "Check")
    return render(request, "qc/check_instrument.html", page, status=form.status)


def withdraw(request: HttpRequest, project_id: int, calibration_id: int) -> HttpResponse:
    """That a calibration turned out to be bad."""
    hand = register_of(request, project_id, timezone.now())
    found = get_object_or_404(
        Calibration.objects.select_related("instrument"),
        pk=calibration_id,
        instrument__project=hand.project,
    )
    form = WithdrawForm(hand.zone, request.POST or None)
    if form.is_bound:
        if form.perform(withdraw_calibration, **hand.doing, calibration_id=found.pk):
            messages.warning(request, f"Calibration {found.certificate} is withdrawn.")
            return redirect("instrument", project_id, found.instrument_id)
    page = {**entering_page(hand, found.instrument, form, "Withdraw"), "calibration": found}
    return render(request, "qc/withdraw_calibration.html", page, status=form.status)
