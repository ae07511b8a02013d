"""Setting the day by which a repair is inspected next."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from qc.engine.lifecycle import Act, Refused
from qc.web.forms.next_inspection import NextInspectionForm
from qc.web.loading import person, repair_in_hand
from qc.web.pages.about import design_shown
from qc.web.pages.due import settings_shown
from qc.web.pages.places import crumbs, party_line
from qc.workflow import set_next_inspection


def next_inspection(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The day of the next inspection, who set it and why; the client sets another."""
    hand = repair_in_hand(request, repair_id)
    form = NextInspectionForm(request.POST or None)
    if request.method == "POST":
        who, at = person(request), timezone.now()
        if form.perform(set_next_inspection, repair_id=repair_id, actor=who, at=at):
            messages.success(request, "The day of the next inspection is set.")
            return redirect("repair", repair_id)
    elif reasons := hand.reasons_against(Act.SET_NEXT_INSPECTION):
        raise Refused(*reasons)
    page = {
        "party": party_line(hand),
        "repair": hand.repair,
        "crumbs": crumbs(hand, ("Next inspection", "")),
        "form": form,
        "design": design_shown(hand.repair),
        "settings": settings_shown(hand.repair, hand.zone),
    }
    return render(request, "qc/next_inspection.html", page, status=form.status)
