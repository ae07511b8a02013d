"""The record of a repair, to be read from beginning to end."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from qc.web.loading import repair_in_hand


def record(request: HttpRequest, repair_id: int) -> HttpResponse:
    """Every step with its readings and verdicts."""
    hand = repair_in_hand(request, repair_id)
    return render(request, "qc/record.html", {"hand": hand})
