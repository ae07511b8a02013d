"""The plan of a repair: read, commented and agreed."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from qc.engine.lifecycle import Act, Refused
from qc.records.queries import draft_of
from qc.web.forms.plan import AgreeForm
from qc.web.forms.plan_act import CommentForm
from qc.web.loading import person, repair_in_hand
from qc.web.pages.plan import comment_page, history_page, plan_page
from qc.workflow import agree_plan, comment_plan


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
    page = plan_page(hand, form, draft_of(hand.repair) or hand.plan)
    return render(request, "qc/plan.html", page, status=form.status)


def history(request: HttpRequest, repair_id: int) -> HttpResponse:
    """Every revision of the plan, and what each changed."""
    hand = repair_in_hand(request, repair_id)
    return render(request, "qc/plan_history.html", history_page(hand))


def revision(request: HttpRequest, repair_id: int, revision: int) -> HttpResponse:
    """One revision of the plan; the client agrees here the one that waits."""
    hand = repair_in_hand(request, repair_id)
    shown = get_object_or_404(hand.repair.plans.prefetch_related("steps"), revision=revision)
    return render(request, "qc/plan.html", plan_page(hand, AgreeForm(), shown))


def comment(request: HttpRequest, repair_id: int) -> HttpResponse:
    """A comment on the plan in force or on the draft, perhaps on one of its steps."""
    hand = repair_in_hand(request, repair_id)
    if reasons := hand.reasons_against(Act.COMMENT_PLAN):
        raise Refused(*reasons)
    asked = request.POST.get("revision") or request.GET.get("revision", "")
    commented = draft_of(hand.repair) or hand.plan
    if asked == str(hand.plan.revision):
        commented = hand.plan
    form = CommentForm(commented, request.GET.get("step", ""), request.POST or None)
    who, at = person(request), timezone.now()
    if form.is_bound and form.perform(comment_plan, actor=who, repair_id=repair_id, at=at):
        messages.success(request, "The comment is beside the plan for all parties.")
        return redirect("plan_revision", repair_id, commented.revision)
    page = comment_page(hand, commented, form)
    return render(request, "qc/comment_plan.html", page, status=form.status)
