"""Releasing the certificate: the last gate."""

from datetime import datetime
from uuid import UUID

from qc.accounts.models import User
from qc.engine.lifecycle import Act, Refused, decide, repair_blocker
from qc.evidence.store import keep
from qc.ledger.canonical import canonical, digest
from qc.ledger.chain import Entry
from qc.ledger.checkpoints import take
from qc.records.models import Certificate
from qc.workflow.deed import act, begin, finish
from qc.workflow.document import record_document
from qc.workflow.facts import gather


@act
def release_certificate(
    *,
    repair_id: int,
    number: str,
    check_code: str,
    snapshot: dict[str, object],
    pdf: bytes,
    actor: User,
    at: datetime,
    act_id: UUID,
) -> Entry:
    """Issue the certificate made from `snapshot`, whose `record` must be the record as it stands.

    `check_code` opens its public page. Refused, with every reason, while anything is open or
    unsigned or the record has moved on.
    """
    deed = begin(Act.RELEASE_CERTIFICATE, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    record = record_document(deed.repair)
    facts = gather(deed.repair, deed.progress, at=at, actor=actor.pk, digest=digest(record))
    decide(deed.repair.stands_at, deed.act, deed.party, facts)
    if digest(snapshot["record"]) != digest(record):
        raise Refused(
            repair_blocker("record", "The record changed while the certificate was made.")
        )
    certificate = Certificate.objects.create(
        repair=deed.repair,
        number=number,
        check_code=check_code,
        issued_at=at,
        snapshot=canonical(snapshot).decode(),
        snapshot_digest=digest(snapshot),
        pdf_digest=keep(pdf),
    )
    entry = finish(deed, certificate)
    take(at, f"release of {number}")
    return entry
