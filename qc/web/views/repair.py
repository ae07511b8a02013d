"""The page of a repair."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from qc.web.loading import repair_in_hand
from qc.web.pages.repair import repair_page


def repair(request: HttpRequest, repair_id: int) -> HttpResponse:
    """Where a repair stands, what comes next, and what is between it and its release."""
    hand = repair_in_hand(request, repair_id)
    return render(request, "qc/repair.html", repair_page(hand))
