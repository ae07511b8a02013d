"""What a project keeps: instruments with their calibrations, and batches of material."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from qc.web.loading import project_in_hand


def instruments(request: HttpRequest, project_id: int) -> HttpResponse:
    """The instruments of a project."""
    project = project_in_hand(request, project_id)
    kept = project.instruments.prefetch_related("calibrations")
    return render(request, "qc/instruments.html", {"project": project, "instruments": kept})


def calibrations(request: HttpRequest, project_id: int, instrument_id: int) -> HttpResponse:
    """The calibrations of an instrument."""
    project = project_in_hand(request, project_id)
    instrument = get_object_or_404(project.instruments, pk=instrument_id)
    context = {"project": project, "instrument": instrument}
    return render(request, "qc/calibrations.html", context)


def batches(request: HttpRequest, project_id: int) -> HttpResponse:
    """The batches of a project."""
    project = project_in_hand(request, project_id)
    context = {"project": project, "batches": project.batches.all()}
    return render(request, "qc/batches.html", context)
