"""Making the certificate once everybody has signed; a failure leaves the record approved."""

import logging
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest
from django.utils import timezone

from qc.certificate.issue import issue_certificate
from qc.certificate.job import Unprintable
from qc.engine.lifecycle import Refused
from qc.web.loading import person

log = logging.getLogger(__name__)


def issue(request: HttpRequest, repair_id: int, act_id: UUID) -> bool:
    """Make and release the certificate, and tell the person how it went.

    What stops it is told and logged: the signatures stand, and it can be made again.
    """
    actor, at = person(request), timezone.now()
    try:
        issue_certificate(repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    except (Refused, Unprintable, OSError) as problem:
        log.error("The certificate of repair %s was not made: %s", repair_id, problem)
        said = f"The certificate could not be made: {problem} The signatures stand."
        messages.error(request, said)
        return False
    messages.success(request, "The certificate is issued.")
    return True
