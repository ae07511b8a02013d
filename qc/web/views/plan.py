"""The plan of a repair: read, revised and agreed."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from qc.engine.lifecycle import Act, Refused
from qc.web.forms.plan import AgreeForm, CriteriaForm
from qc.web.loading import person, repair_in_hand, step_in_hand
from qc.web.pages.plan import plan_page, revise_page
from qc.workflow import agree_plan, revise_plan


def plan(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The inspection and test plan in force."""
    hand = repair_in_hand(request, repair_id)
    return render(request, "qc/plan.html", plan_page(hand, AgreeForm()))


@require_POST
def agree(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The client agrees the plan."""
    hand = repair_in_hand(request, repair_id)
    form = AgreeForm(request.POST)
    who, at = person(request), timezone.now()
    if form.perform(agree_plan, repair_id=repair_id, actor=who, at=at):
        messages.success(request, "The plan is agreed: work on site can begin.")
        return redirect("repair", repair_id)
    return render(request, "qc/plan.html", plan_page(hand, form), status=form.status)


def revise(request: HttpRequest, repair_id: int, position: int) -> HttpResponse:
    """Other limits for a step, while the plan is a draft, perhaps with what is offered for it."""
    hand, progress = step_in_hand(request, repair_id, position)
    step = progress.step
    is_taking = "take" in request.POST
    sent = None if is_taking else request.POST or None
    form = CriteriaForm(hand.plan, step, hand.repair.units, hand.zone, sent)
    if form.is_bound:
        who, at = person(request), timezone.now()
        if form.perform(revise_plan, repair_id=repair_id, actor=who, at=at):
            messages.success(request, f"The limits of step {position} are changed.")
            return redirect("plan", repair_id)
    elif reasons := hand.reasons_against(Act.REVISE_PLAN):
        raise Refused(*reasons)
    if is_taking:
        form.take_over(request.POST)
    page = revise_page(hand, step, form)
    return render(request, "qc/revise_step.html", page, status=form.status)
