"""The qualified people of a project."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from qc.records.models import Qualification
from qc.web.forms.people import QualificationForm
from qc.web.pages.people import people_page
from qc.web.pages.registers import register_of
from qc.workflow import add_qualification


def people(request: HttpRequest, project_id: int) -> HttpResponse:
    """The qualifications of a project's people, and entering one."""
    hand = register_of(request, project_id, timezone.now())
    form = QualificationForm(hand.project, request.POST or None, request.FILES or None)
    if form.is_bound:
        if entry := form.perform(add_qualification, **hand.doing):
            (made,) = entry.stated(Qualification)
            messages.success(request, f"The qualification of {made['holder']} is in the register.")
            return redirect("people", project_id)
    return render(request, "qc/people.html", people_page(hand, form), status=form.status)
