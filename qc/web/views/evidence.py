"""Evidence: what is asked for and missing, what is there, and each file itself."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from qc.evidence.models import Evidence
from qc.web.files import kept_file
from qc.web.loading import person, repair_in_hand
from qc.web.pages.evidence import evidence_page, sent_form


def evidence(request: HttpRequest, repair_id: int) -> HttpResponse:
    """What is missing, what is there, and adding to it."""
    hand = repair_in_hand(request, repair_id)
    form = sent_form(hand, request.POST, request.FILES) if request.method == "POST" else None
    if form is not None and form.is_valid():
        if form.keep(repair_id=repair_id, actor=person(request), at=timezone.now()):
            count, position = len(form.cleaned_data["chosen"]), form.cleaned_data["position"]
            kept = "1 file is" if count == 1 else f"{count} files are"
            messages.success(request, f"{kept} kept as evidence of step {position}.")
            return redirect(f"{reverse('evidence', args=[repair_id])}#step-{position}")
    status = form.status if form else 200
    return render(request, "qc/evidence.html", evidence_page(hand, form), status=status)


def file(request: HttpRequest, repair_id: int, evidence_id: int) -> HttpResponse:
    """One file, to those who may see the repair."""
    hand = repair_in_hand(request, repair_id)
    found = get_object_or_404(Evidence, repair=hand.repair, pk=evidence_id)
    return kept_file(found.sha256, found.content_type, found.filename)
