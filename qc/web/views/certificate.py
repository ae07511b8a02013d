"""The released certificate as a file, and making it where that failed at first."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_POST

from qc.evidence.store import fetch
from qc.web.loading import repair_in_hand


def certificate(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The certificate's PDF. Http404 before there is one."""
    hand = repair_in_hand(request, repair_id)
    issued = hand.repair.certificates.order_by("revision").last()
    if issued is None:
        raise Http404
    response = HttpResponse(fetch(issued.pdf_digest), content_type="application/pdf")
    response["Content-Disposition"] = content_disposition_header(True, f"{issued.number}.pdf")
    return response


@require_POST
def make(request: HttpRequest, repair_id: int) -> HttpResponse:
    """Make the certificate of an approved record."""
    repair_in_hand(request, repair_id)
    return redirect("repair", repair_id)
