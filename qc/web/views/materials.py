"""The materials of a project: batches, their recall, and data sheets; and the register's files."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from qc.records.models import Batch, DataSheet
from qc.web.files import kept_file
from qc.web.forms.materials import BatchForm, DataSheetForm, RecallForm
from qc.web.pages.materials import (
    batch_page,
    data_sheet_page,
    data_sheets_page,
    entering_sheet_page,
)
from qc.web.pages.registers import batches_page, register_of
from qc.workflow import add_batch, add_data_sheet, recall_batch


def batches(request: HttpRequest, project_id: int) -> HttpResponse:
    """The batches of a project, and entering one."""
    hand = register_of(request, project_id, timezone.now())
    form = BatchForm(request.POST or None)
    if form.is_bound:
        if entry := form.perform(add_batch, **hand.doing):
            (made,) = entry.stated(Batch)
            said = f"Batch {made['number']} of {made['product']} is in the register."
            messages.success(request, said)
            return redirect("batches", project_id)
    return render(request, "qc/batches.html", batches_page(hand, form), status=form.status)


def batch(request: HttpRequest, project_id: int, batch_id: int) -> HttpResponse:
    """One batch, every repair it went into, and its recall."""
    hand = register_of(request, project_id, timezone.now())
    found = get_object_or_404(hand.project.batches.select_related("recall"), pk=batch_id)
    form = RecallForm(request.POST or None)
    if form.is_bound:
        if form.perform(recall_batch, **hand.doing, batch_id=found.pk):
            messages.warning(request, f"Batch {found.number} is recalled.")
            return redirect("batch", project_id, found.pk)
    return render(request, "qc/batch.html", batch_page(hand, found, form), status=form.status)


def data_sheets(request: HttpRequest, project_id: int) -> HttpResponse:
    """The data sheets of a project."""
    hand = register_of(request, project_id, timezone.now())
    return render(request, "qc/data_sheets.html", data_sheets_page(hand))


def data_sheet(request: HttpRequest, project_id: int, sheet_id: int) -> HttpResponse:
    """One revision of a data sheet."""
    hand = register_of(request, project_id, timezone.now())
    found = get_object_or_404(hand.project.data_sheets, pk=sheet_id)
    return render(request, "qc/data_sheet.html", data_sheet_page(hand, found))


def enter_data_sheet(request: HttpRequest, project_id: int) -> HttpResponse:
    """Entering a revision of a data sheet."""
    hand = register_of(request, project_id, timezone.now())
    form = DataSheetForm(hand.zone, request.POST or None, request.FILES or None)
    if form.is_bound:
        if entry := form.perform(add_data_sheet, **hand.doing):
            (made,) = entry.stated(DataSheet)
            messages.success(request, "The data sheet is in the register; plans are offered it.")
            return redirect("data_sheet", project_id, made["id"])
    page = entering_sheet_page(hand, form)
    return render(request, "qc/enter_data_sheet.html", page, status=form.status)


def file(request: HttpRequest, project_id: int, file_id: int) -> HttpResponse:
    """A certificate or data sheet, to those who may see the project."""
    hand = register_of(request, project_id, timezone.now())
    found = get_object_or_404(hand.project.register_files, pk=file_id)
    return kept_file(found.sha256, found.content_type, found.filename)
