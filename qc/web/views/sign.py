"""Signing what was read on the check page, and sending the record back instead."""

from uuid import uuid5

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from qc.engine.lifecycle import Act, Refused
from qc.engine.plan import Party
from qc.web.forms.sign import ReturnForm, SignForm
from qc.web.issuing import issue
from qc.web.loading import person, repair_in_hand
from qc.web.pages.sign import return_page, sign_page
from qc.workflow import return_repair
from qc.workflow import sign as put_signature
from qc.workflow.document import record_digest


def sign(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The check page, and the signature; after the client's the certificate is made."""
    hand = repair_in_hand(request, repair_id)
    # Before anything is shown: what comes later on the record then differs from this digest.
    digest = record_digest(hand.repair)
    form = SignForm(request.POST or None)
    if request.method == "POST":
        facts = {"repair_id": repair_id, "party": hand.party, "at": timezone.now()}
        if form.perform(put_signature, actor=person(request), **facts):
            messages.success(request, f"You have signed for the {hand.party}.")
            if hand.party is Party.CLIENT:
                issue(request, repair_id, uuid5(form.cleaned_data["act_id"], "certificate"))
            return redirect("repair", repair_id)
    form.show(digest)
    return render(request, "qc/sign.html", sign_page(hand, form, digest), status=form.status)


def send_back(request: HttpRequest, repair_id: int) -> HttpResponse:
    """Return the record to site with a reason."""
    hand = repair_in_hand(request, repair_id)
    form = ReturnForm(request.POST or None)
    if request.method == "POST":
        who, at = person(request), timezone.now()
        if form.perform(return_repair, actor=who, repair_id=repair_id, at=at):
            messages.success(request, "The record is back on site, with your reason.")
            return redirect("repair", repair_id)
    elif reasons := hand.reasons_against(Act.RETURN_REPAIR):
        raise Refused(*reasons)
    page = return_page(hand, form)
    return render(request, "qc/return_repair.html", page, status=form.status)
