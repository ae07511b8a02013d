"""Intervention points: notice given and accepted, points closed, and points that lapse."""

from datetime import datetime

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from qc.engine.lifecycle import Act, Refused
from qc.engine.plan import Party
from qc.engine.wording import weekday_text
from qc.records.models import Notice
from qc.records.progress import StepProgress
from qc.web.forms.act import ActForm
from qc.web.forms.notice import LapseForm, NoticeForm
from qc.web.forms.point import PointForm
from qc.web.loading import person, step_in_hand
from qc.web.pages.places import step_url
from qc.web.pages.point import lapse_page, notice_page, point_page
from qc.web.pages.point_acts import reasons_not_to_lapse
from qc.workflow import accept_notice, close_point, give_notice
from qc.workflow.notices import earliest_moment, objections_to_notice
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


def notify(request: HttpRequest, repair_id: int, position: int, party: str) -> HttpResponse:
    """Telling a party when the work comes to its point."""
    hand, progress = step_in_hand(request, repair_id, position)
    told = _party_with_a_point(progress, party)
    earliest = earliest_moment(hand.repair.project, progress, told, hand.at)
    form = NoticeForm(hand, earliest, request.POST or None)
    if request.method == "POST":
        act = {"repair_id": repair_id, "position": position, "party": told, "at": timezone.now()}
        if entry := form.perform(give_notice, actor=person(request), **act):
            scheduled_at = datetime.fromisoformat(entry.stated(Notice)[0]["scheduled_at"])
            moment = weekday_text(scheduled_at, hand.zone)
            messages.success(request, f"The {told} is given notice for {moment}.")
            return redirect(f"{step_url(hand, position)}#points")
    else:
        against = objections_to_notice(progress, told, hand.party)
        if reasons := (*hand.reasons_against(Act.GIVE_NOTICE), *against):
            raise Refused(*reasons)
    page = notice_page(hand, progress, told, form)
    return render(request, "qc/give_notice.html", page, status=form.status)


@require_POST
def accept(request: HttpRequest, repair_id: int, position: int, notice_id: int) -> HttpResponse:
    """Saying that one comes."""
    hand, progress = step_in_hand(request, repair_id, position)
    if notice_id not in [notice.pk for notice in progress.notices]:
        raise Http404
    form = ActForm(request.POST)
    act = {"repair_id": repair_id, "notice_id": notice_id, "note": "", "at": timezone.now()}
    if form.perform(accept_notice, actor=person(request), **act):
        messages.success(request, "Accepted: who gave the notice is told that you come.")
    for problem in form.non_field_errors():
        messages.error(request, str(problem))
    return redirect(f"{step_url(hand, position)}#points")


def lapse(request: HttpRequest, repair_id: int, position: int, party: str) -> HttpResponse:
    """Saying that a party did not come to the point it was called to."""
    hand, progress = step_in_hand(request, repair_id, position)
    absent = _party_with_a_point(progress, party)
    form = LapseForm(request.POST or None)
    if request.method == "POST":
        act = {"repair_id": repair_id, "position": position, "party": absent}
        if form.perform(close_point, actor=person(request), at=timezone.now(), **act):
            messages.success(request, f"The point of the {absent} has lapsed.")
            return redirect(f"{step_url(hand, position)}#points")
    elif reasons := reasons_not_to_lapse(hand, progress, absent):
        raise Refused(*reasons)
    page = lapse_page(hand, progress, absent, form)
    return render(request, "qc/lapse_point.html", page, status=form.status)


def _party_with_a_point(progress: StepProgress, name: str) -> Party:
    """The party named in the address; Http404 if it has no point at the step."""
    if name not in progress.step.points:
        raise Http404
    return Party(name)
