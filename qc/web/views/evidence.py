"""Evidence: what is asked for and missing, what is there, and each file itself."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.http import content_disposition_header

from qc.evidence.models import Evidence
from qc.evidence.store import fetch
from qc.web.loading import repair_in_hand


def evidence(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The evidence of a repair."""
    hand = repair_in_hand(request, repair_id)
    files = Evidence.objects.filter(repair=hand.repair).select_related("step")
    return render(request, "qc/evidence.html", {"hand": hand, "files": files})


def file(request: HttpRequest, repair_id: int, evidence_id: int) -> HttpResponse:
    """One file, as it was uploaded, to those who may see the repair."""
    hand = repair_in_hand(request, repair_id)
    found = get_object_or_404(Evidence, repair=hand.repair, pk=evidence_id)
    response = HttpResponse(fetch(found.sha256), content_type=found.content_type)
    as_attachment = not found.content_type.startswith("image/")
    response["Content-Disposition"] = content_disposition_header(as_attachment, found.filename)
    return response
