"""The page of a step, where readings are entered and judged, and the page that corrects them."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from qc.ledger.chain import Entry
from qc.records.models import Inspection
from qc.web.forms.correction import CorrectionForm
from qc.web.forms.observation import ObservationForm
from qc.web.forms.work import work_on
from qc.web.loading import RepairInHand, person, step_in_hand
from qc.web.pages.correction import correction_page
from qc.web.pages.places import step_url
from qc.web.pages.step import AGAIN, reasons_not_to_record, step_page
from qc.web.templatetags.marks import WORDS
from qc.workflow import correct_inspection, record_inspection

MORE = "more"
"""The name of the button that asks for more room instead of recording."""


def step(request: HttpRequest, repair_id: int, position: int) -> HttpResponse:
    """What a step asks and holds; the inspector's readings are recorded and judged at once."""
    hand, progress = step_in_hand(request, repair_id, position)
    now = timezone.now()
    if request.method != "POST" and reasons_not_to_record(hand, progress):
        return render(request, "qc/step.html", step_page(hand, progress, None))
    begins_anew = AGAIN in request.GET and not progress.opens_new_series
    work = work_on(hand, progress, now, begins_anew=begins_anew)
    form = ObservationForm.for_entry(work, request.POST or None)
    if MORE in request.POST:
        form = form.roomier(request.POST)
    elif request.method == "POST":
        act = {"repair_id": repair_id, "position": position, "at": now}
        if entry := form.perform(record_inspection, actor=person(request), **act):
            return _judged(request, hand, position, entry)
    return render(request, "qc/step.html", step_page(hand, progress, form))


def correct(
    request: HttpRequest, repair_id: int, position: int, inspection_id: int
) -> HttpResponse:
    """What an earlier inspection should have said; both stay on record."""
    hand, progress = step_in_hand(request, repair_id, position)
    now = timezone.now()
    wrong = next((i for i in progress.inspections if i.pk == inspection_id), None)
    if wrong is None:
        raise Http404
    form = CorrectionForm.of(work_on(hand, progress, now), wrong, request.POST or None)
    if MORE in request.POST:
        form = form.roomier(request.POST)
    elif request.method == "POST":
        act = {"repair_id": repair_id, "position": position, "inspection_id": wrong.pk, "at": now}
        if entry := form.perform(correct_inspection, actor=person(request), **act):
            return _judged(request, hand, position, entry)
    return render(request, "qc/correct.html", correction_page(hand, progress, wrong, form))


def _judged(request: HttpRequest, hand: RepairInHand, position: int, entry: Entry) -> HttpResponse:
    """Back to the step, its verdict on top."""
    outcome = entry.stated(Inspection)[0]["outcome"]
    level = messages.SUCCESS if outcome == "conforms" else messages.WARNING
    messages.add_message(request, level, f"Recorded. {WORDS[outcome]}.")
    return redirect(f"{step_url(hand, position)}#verdict")
