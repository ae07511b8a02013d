"""Signing what was read on the check page, and sending the record back instead."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from qc.web.loading import repair_in_hand
from qc.workflow.document import record_digest
from qc.workflow.signing import MEANINGS, SIGNING_ACTS


def sign(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The check page before a signature."""
    hand = repair_in_hand(request, repair_id)
    context = {
        "hand": hand,
        "reasons": hand.reasons_against(SIGNING_ACTS[hand.party]),
        "meaning": MEANINGS[hand.party],
        "seen_digest": record_digest(hand.repair),
    }
    return render(request, "qc/sign.html", context)


def send_back(request: HttpRequest, repair_id: int) -> HttpResponse:
    """Return the record to site with a reason."""
    hand = repair_in_hand(request, repair_id)
    return render(request, "qc/return_repair.html", {"hand": hand})
