"""What a project keeps: instruments with their calibrations, and batches of material."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from qc.web.forms.registers import BatchForm, CalibrationForm, InstrumentForm
from qc.web.loading import person
from qc.web.pages.registers import (
    batches_page,
    calibrations_page,
    instruments_page,
    register_of,
)
from qc.workflow import add_batch, add_calibration, add_instrument


def instruments(request: HttpRequest, project_id: int) -> HttpResponse:
    """The instruments of a project, and entering one."""
    hand = register_of(request, project_id, timezone.now())
    form = InstrumentForm(request.POST or None)
    if form.is_valid():
        facts = {"project_id": project_id, "actor": person(request), **form.cleaned_data}
        made = form.attempt(add_instrument, **facts)
        if made:
            messages.success(request, f"{made} is in the register: enter its calibration.")
            return redirect("calibrations", project_id, made.pk)
    return render(request, "qc/instruments.html", instruments_page(hand, form), status=form.status)


def calibrations(request: HttpRequest, project_id: int, instrument_id: int) -> HttpResponse:
    """The calibrations of an instrument, and entering one."""
    hand = register_of(request, project_id, timezone.now())
    instrument = get_object_or_404(hand.project.instruments, pk=instrument_id)
    form = CalibrationForm(request.POST or None)
    if form.is_valid():
        facts = {
            "project_id": project_id,
            "instrument_id": instrument_id,
            "actor": person(request),
            "at": hand.now,
            **form.cleaned_data,
        }
        if made := form.attempt(add_calibration, **facts):
            messages.success(request, f"Calibration {made.certificate} is in the register.")
            return redirect("calibrations", project_id, instrument_id)
    page = calibrations_page(hand, instrument, form)
    return render(request, "qc/calibrations.html", page, status=form.status)


def batches(request: HttpRequest, project_id: int) -> HttpResponse:
    """The batches of a project, and entering one."""
    hand = register_of(request, project_id, timezone.now())
    form = BatchForm(request.POST or None)
    if form.is_valid():
        facts = {"project_id": project_id, "actor": person(request), **form.cleaned_data}
        if made := form.attempt(add_batch, **facts):
            messages.success(request, f"Batch {made} is in the register.")
            return redirect("batches", project_id)
    return render(request, "qc/batches.html", batches_page(hand, form), status=form.status)
