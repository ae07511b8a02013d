"""Issuing a certificate: made outside any transaction, released by the workflow."""

from datetime import datetime
from uuid import UUID

from django.conf import settings

from qc.accounts.models import User
from qc.certificate.page import render_html
from qc.certificate.pdf import render_pdf
from qc.certificate.snapshot import build
from qc.engine.lifecycle import Act, Refused, reasons_against
from qc.ledger.chain import Entry, entry_of
from qc.records.check_code import new_check_code
from qc.records.models import Certificate, Repair
from qc.records.progress import progress_of
from qc.records.queries import membership_in
from qc.workflow import release_certificate
from qc.workflow.document import record_digest
from qc.workflow.facts import gather


def issue_certificate(*, repair_id: int, actor: User, at: datetime, act_id: UUID) -> Entry:
    """Make the certificate of an approved repair and release it. Sent twice, it is made once.

    Refused, with every reason and before anything is rendered, while something is open.
    Unprintable if the PDF cannot be made: the repair stays approved, and it can be tried again.
    """
    done = entry_of(act_id)
    if done is not None and (done.act, done.repair_id) == (Act.RELEASE_CERTIFICATE, repair_id):
        return done
    repair = Repair.objects.select_related("project", "asset").get(pk=repair_id)
    _refuse_early(repair, actor, at)
    number = number_of(repair)
    check_code = new_check_code()
    snapshot = build(repair, number, at, check_code, check_address(check_code))
    pdf = render_pdf(render_html(snapshot), snapshot)
    return release_certificate(
        repair_id=repair_id,
        number=number,
        check_code=check_code,
        snapshot=snapshot,
        pdf=pdf,
        actor=actor,
        at=at,
        act_id=act_id,
    )


def check_address(code: str) -> str:
    """The address of a certificate's public page; "" where the installation has none."""
    return f"{settings.PUBLIC_ADDRESS}/check/{code}/" if settings.PUBLIC_ADDRESS else ""


def number_of(repair: Repair) -> str:
    """The number of a repair's certificate: "QR-SQT-R-014"; that of an earlier one stays.

    Two repairs whose codes and numbers happen to join to the same get numbers that differ.
    """
    earlier = repair.certificates.order_by("revision").first()
    if earlier is not None:
        return earlier.number
    stem = f"QR-{repair.project.code}-{repair.number}"
    number, copy = _clipped(stem), 1
    while Certificate.objects.filter(number=number).exists():
        copy += 1
        number = _clipped(stem, f"-{copy}")
    return number


def _clipped(stem: str, suffix: str = "") -> str:
    most = Certificate._meta.get_field("number").max_length or len(stem)
    return stem[: most - len(suffix)] + suffix


def _refuse_early(repair: Repair, actor: User, at: datetime) -> None:
    """Refuse what the release would refuse, so that nothing is rendered in vain."""
    party = membership_in(actor, repair).acts_for
    facts = gather(repair, progress_of(repair), at=at, actor=actor.pk, digest=record_digest(repair))
    reasons = reasons_against(repair.stands_at, Act.RELEASE_CERTIFICATE, party, facts)
    if reasons:
        raise Refused(*reasons)
