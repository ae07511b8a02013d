"""The certificate as a file, and making it where that failed at first."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from qc.engine.lifecycle import Act, Refused
from qc.ledger.chain import entry_of
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
    """Make the certificate of an approved record; sent twice, it is made once."""
    hand = repair_in_hand(request, repair_id)
    form = ActForm(request.POST)
    if not form.is_valid():
        return redirect("sign", repair_id)
    act_id = form.cleaned_data["act_id"]
    reasons = hand.reasons_against(Act.RELEASE_CERTIFICATE)
    if reasons and entry_of(act_id) is None:
        raise Refused(*reasons)
    return redirect("repair" if issue(request, repair_id, act_id) else "sign", repair_id)
