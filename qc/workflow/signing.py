"""The three signatures, and sending the record back instead of signing."""

from datetime import datetime
from uuid import UUID

from qc.accounts.models import User
from qc.engine.lifecycle import Act, Refused, repair_blocker
from qc.engine.plan import Blocker, Party
from qc.ledger.chain import Entry
from qc.records.models import Repair, Signature
from qc.workflow.deed import act, begin, finish, void_signatures
from qc.workflow.document import record_digest
from qc.workflow.facts import signatures_of

SIGNING_ACTS = {
    Party.INSPECTOR: Act.SIGN_INSPECTION,
    Party.CONTRACTOR: Act.SIGN_WORK,
    Party.CLIENT: Act.SIGN_APPROVAL,
}
"""The act by which each party signs, in the order in which they sign."""

MEANINGS = {
    Party.INSPECTOR: "Inspected and recorded as stated",
    Party.CONTRACTOR: "Work done as recorded",
    Party.CLIENT: "Record approved",
}
"""What a signature of each party means, in words that stand beside it."""


@act
def sign(
    *,
    repair_id: int,
    actor: User,
    party: Party,
    password: str,
    seen_digest: str,
    at: datetime,
    act_id: UUID,
) -> Entry:
    """Sign for `party`, one's own, with the password again, exactly what was shown.

    `seen_digest` is the digest of the record on the page; Refused if the record differs by now,
    or from what the parties before have signed.
    """
    deed = begin(SIGNING_ACTS[party], repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    digest_now = record_digest(deed.repair)
    if seen_digest != digest_now:
        raise Refused(
            repair_blocker(
                "signature", "The record has changed since you opened it: read it again."
            )
        )
    if stale := stale_signatures(deed.repair, digest_now):
        raise Refused(*stale)
    if not actor.check_password(password):
        raise Refused(repair_blocker("password", "The password is not right.", deed.party))
    signature = Signature.objects.create(
        repair=deed.repair,
        signing_round=deed.repair.signing_round,
        party=deed.party,
        signed_by=actor,
        printed_name=actor.printed_name,
        organisation=deed.repair.project.organisation_of(deed.party).name,
        meaning=MEANINGS[deed.party],
        signed_at=at,
        record_digest=digest_now,
    )
    return finish(deed, signature)


def stale_signatures(repair: Repair, digest: str) -> tuple[Blocker, ...]:
    """A reason for every signature of this round that is on another record than `digest`.

    What a register says of an instrument belongs to the record and can be added to later.
    """
    return tuple(
        repair_blocker(
            "signature",
            f"The record has changed since the {signature.party} signed it:"
            " return it, so that it is signed as it stands.",
        )
        for signature in signatures_of(repair)
        if signature.record_digest != digest
    )


@act
def return_repair(*, repair_id: int, reason: str, actor: User, at: datetime, act_id: UUID) -> Entry:
    """Send the record back to site with a reason; signatures given so far no longer count."""
    deed = begin(Act.RETURN_REPAIR, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    if not reason.strip():
        raise Refused(repair_blocker("return", "Say why the record goes back.", deed.party))
    return finish(deed, void_signatures(deed, reason.strip()))
