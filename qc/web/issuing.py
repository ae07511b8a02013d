"""Making the certificate once everybody has signed; a failure leaves the record approved."""

import logging
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest
from django.utils import timezone

from qc.engine.lifecycle import Refused
from qc.web.loading import person

log = logging.getLogger(__name__)


def issue(request: HttpRequest, repair_id: int, act_id: UUID) -> bool:
    """Make and release the certificate, and tell the person how it went.

    Refused goes on to the caller. Whatever else stops the rendering is logged, and told: the
    signatures are kept already, and the certificate can be made again.
    """
    from qc.certificate.issue import issue_certificate

    actor, at = person(request), timezone.now()
    try:
        issue_certificate(repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    except Refused:
        raise
    except Exception:
        log.exception("The certificate of repair %s could not be made", repair_id)
        messages.error(
            request, "The certificate could not be made. The signatures stand: try it again."
        )
        return False
    messages.success(request, "The certificate is issued.")
    return True
