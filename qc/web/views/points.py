"""Closing the intervention point of one's own party."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from qc.web.forms.point import PointForm
from qc.web.loading import person, step_in_hand
from qc.web.pages.places import step_url
from qc.web.pages.point import point_page
from qc.workflow import close_point
from qc.workflow.points import point_of


def close(request: HttpRequest, repair_id: int, position: int) -> HttpResponse:
    """What is being closed, and closing it."""
    hand, progress = step_in_hand(request, repair_id, position)
    intervention = point_of(progress, hand.party)
    form = PointForm(intervention, request.POST or None)
    if request.method == "POST":
        act = {"repair_id": repair_id, "position": position, "at": timezone.now()}
        if form.perform(close_point, actor=person(request), **act):
            messages.success(request, f"The {intervention} point is closed.")
            return redirect(step_url(hand, position))
    return render(request, "qc/point.html", point_page(hand, progress, intervention, form))
