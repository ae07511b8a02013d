"""The record of a repair, to be read from beginning to end."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from qc.web.loading import repair_in_hand
from qc.web.pages.record import record_page


def record(request: HttpRequest, repair_id: int) -> HttpResponse:
    """Every step with its readings and verdicts, corrections, points, evidence and signatures."""
    hand = repair_in_hand(request, repair_id)
    return render(request, "qc/record.html", record_page(hand))
