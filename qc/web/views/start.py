"""Starting a repair, perhaps on a component that is on record."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from qc.engine.lifecycle import Refused, repair_blocker
from qc.engine.plan import Party
from qc.web.forms.start import StartForm, chosen_component, contracted_by
from qc.web.loading import person
from qc.web.pages.start import start_page
from qc.workflow import start_repair


def start(request: HttpRequest) -> HttpResponse:
    """A new repair and the draft of its plan, for the contractor.

    `?component=ID` or `?tag=TAG` takes a component of the contractor's projects as it stands.
    """
    projects = list(contracted_by(person(request)))
    if not projects:
        statement = "The contractor starts repairs; you are the contractor of no project."
        raise Refused(repair_blocker("party", statement, Party.CONTRACTOR))
    choice = chosen_component(projects, request.GET)
    form = StartForm(projects, choice, request.POST or None)
    if request.method == "POST":
        entry = form.perform(start_repair, actor=person(request), at=timezone.now())
        if entry:
            messages.success(request, "The repair is started: its plan is a draft to go through.")
            return redirect("plan", entry.repair_id)
    return render(
        request, "qc/start_repair.html", start_page(form, choice, projects), status=form.status
    )
