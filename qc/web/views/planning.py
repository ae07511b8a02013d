"""What is planned from the record and kept nowhere: where to measure, and what to bring."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from qc.web.forms.take_off import ESTIMATES, TakeOffForm
from qc.web.forms.where import WhereForm, rules_of
from qc.web.loading import repair_in_hand, step_in_hand
from qc.web.pages.take_off import OF, take_off_page
from qc.web.pages.where import where_page


@require_safe
def where_to_measure(request: HttpRequest, repair_id: int, position: int) -> HttpResponse:
    """How many places a step is read at, and where they lie; everybody is proposed the same."""
    hand, progress = step_in_hand(request, repair_id, position)
    rules = rules_of(progress.step)
    if rules is None:
        raise Http404
    form = WhereForm(hand, progress.step, rules, request.GET)
    form.full_clean()
    page = where_page(hand, progress.step, form)
    return render(request, "qc/where_to_measure.html", page)


@require_safe
def take_off(request: HttpRequest, repair_id: int) -> HttpResponse:
    """How much filler, coating, wrap or how many mixes: an estimate, never part of the record."""
    hand = repair_in_hand(request, repair_id)
    estimate = ESTIMATES.get(request.GET.get(OF) or next(iter(ESTIMATES)))
    if estimate is None:
        raise Http404
    form = TakeOffForm(estimate, hand, request.GET)
    form.full_clean()
    return render(request, "qc/take_off.html", take_off_page(hand, form))
