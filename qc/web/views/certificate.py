"""The certificate as a file, and making it where that failed at first."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from qc.web.files import kept_file
from qc.web.forms.act import ActForm
from qc.web.issuing import issue
from qc.web.loading import repair_in_hand


def certificate(request: HttpRequest, repair_id: int) -> HttpResponse:
    """The latest certificate's PDF. Http404 before there is one."""
    hand = repair_in_hand(request, repair_id)
    issued = hand.repair.certificates.order_by("revision").last()
    if issued is None:
        raise Http404
    return kept_file(issued.pdf_digest, "application/pdf", issued.number)


@require_POST
def make(request: HttpRequest, repair_id: int) -> HttpResponse:
    """Make the certificate of an approved record."""
    repair_in_hand(request, repair_id)
    form = ActForm(request.POST)
    made = form.is_valid() and issue(request, repair_id, form.cleaned_data["act_id"])
    return redirect("repair" if made else "sign", repair_id)
