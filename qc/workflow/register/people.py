"""People: the certificates of what inspectors and applicators may do."""

from collections.abc import Sequence
from datetime import date, datetime
from uuid import UUID

from qc.accounts.models import Membership, User
from qc.engine.lifecycle import RegisterAct
from qc.ledger.chain import Entry
from qc.records.models import Qualification
from qc.records.templates import TRADES
from qc.workflow.deed import act
from qc.workflow.register.files import Upload, keep_file
from qc.workflow.register_deed import RegisterDeed, begin_entry, finish_entry, refusal


@act
def add_qualification(
    *,
    project_id: int,
    holder: str,
    trade: str,
    scopes: Sequence[str],
    certificate: str,
    valid_from: date,
    valid_until: date,
    actor: User,
    at: datetime,
    act_id: UUID,
    user_id: int | None = None,
    issued_by: str = "",
    file: Upload | None = None,
) -> Entry:
    """Enter a person's certificate; it holds from its first through its last day.

    `user_id` is the holder's own account where they have one: an inspector is found by it.
    """
    deed = begin_entry(
        RegisterAct.ADD_QUALIFICATION, project_id=project_id, actor=actor, at=at, act_id=act_id
    )
    named = [scope.strip() for scope in scopes if scope.strip()]
    if trade not in TRADES:
        raise refusal(f"{trade!r} is not one of: {', '.join(TRADES)}.", "trade")
    if not holder.strip() or not certificate.strip():
        raise refusal("A qualification needs its holder and the number of its certificate.")
    if not named:
        raise refusal("Say what the certificate covers, one scope a line.", "scopes")
    if valid_until < valid_from:
        statement = f"It ends on {valid_until}, before it begins on {valid_from}."
        raise refusal(statement, "valid_until")
    made = Qualification.objects.create(
        project=deed.project,
        holder=holder.strip(),
        user=_member(deed, user_id),
        trade=trade,
        scopes=list(dict.fromkeys(named)),
        certificate=certificate.strip(),
        issued_by=issued_by.strip(),
        valid_from=valid_from,
        valid_until=valid_until,
        recorded_at=at,
    )
    kept = keep_file(deed, file, made)
    return finish_entry(deed, made, kept)


def _member(deed: RegisterDeed, user_id: int | None) -> User | None:
    if user_id is None:
        return None
    found = Membership.objects.filter(project=deed.project, user=user_id).first()
    if found is None:
        raise refusal("The person is not a member of this project.", "user")
    return found.user
