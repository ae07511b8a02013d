"""The plan of a repair: started from a template, read, revised and agreed."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.timezone import now
from django.views.decorators.http import require_POST

from qc.engine.plan import Party
from qc.records.templates import plan_templates
from qc.web.forms.act import ActForm
from qc.web.loading import person, repair_in_hand, step_in_hand
from qc.workflow import agree_plan


def start(request: HttpRequest) -> HttpResponse:
    """A new repair and its plan, for the contractor."""
    mine = person(request).memberships.filter(party=Party.CONTRACTOR)
    context = {"memberships": mine.select_related("project"), "templates": plan_templates()}
    return render(request, "qc/start_repair.html", context)


def plan(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The inspection and test plan in force."""
    hand = repair_in_hand(request, repair_id)
    return render(request, "qc/plan.html", {"hand": hand, "form": ActForm()})


@require_POST
def agree(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The client agrees the plan."""
    hand = repair_in_hand(request, repair_id)
    form = ActForm(request.POST)
    facts: dict[str, Any] = {"repair_id": repair_id, "actor": person(request), "at": now()}
    if form.is_valid() and form.carry_out(agree_plan, **facts) is not None:
        return redirect("repair", repair_id)
    return render(request, "qc/plan.html", {"hand": hand, "form": form}, status=409)


def revise(request: HttpRequest, repair_id: int, position: int) -> HttpResponse:
    """Other limits for a step, while the plan is a draft."""
    hand, progress = step_in_hand(request, repair_id, position)
    return render(request, "qc/revise_step.html", {"hand": hand, "step": progress.step})
