"""The frame of an entry in a project's register: lock, check the party, save, append."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Model

from qc.accounts.access import membership_of
from qc.accounts.models import Project, User
from qc.engine.lifecycle import REGISTER_ACTS, Refused, RegisterAct, repair_blocker
from qc.engine.plan import Party
from qc.ledger import chain
from qc.ledger.chain import Entry, register_chain
from qc.workflow.deed import refuse_repetition
from qc.workflow.restate import statement


@dataclass(frozen=True, kw_only=True)
class RegisterDeed:
    """An entry that has been allowed and is being made under the lock of its project."""

    act: RegisterAct
    act_id: UUID
    project: Project
    actor: User
    party: Party
    at: datetime


def begin_entry(
    act: RegisterAct, *, project_id: int, actor: User, at: datetime, act_id: UUID
) -> RegisterDeed:
    """Lock the project; Refused where the actor's party does not keep this register."""
    project = Project.objects.select_for_update().get(pk=project_id)
    party = membership_of(actor, project_id).acts_for
    refuse_repetition(act, act_id, actor, project_id)
    keepers = REGISTER_ACTS[act]
    if party not in keepers:
        entitled = " and ".join(sorted(keepers))
        raise refusal(f"The {party} does not keep this register; {entitled} do.")
    return RegisterDeed(act=act, act_id=act_id, project=project, actor=actor, party=party, at=at)


def finish_entry(
    deed: RegisterDeed, *rows: Model | None, observed_at: datetime | None = None
) -> Entry:
    """Append the entry to the chain of the project's register, stating every row written."""
    return chain.append(
        chain=register_chain(deed.project.pk),
        act=deed.act,
        act_id=deed.act_id,
        actor=deed.actor,
        party=deed.party,
        observed_at=observed_at or deed.at,
        recorded_at=deed.at,
        payload=statement(deed.act, rows),
    )


def refusal(statement: str, rule: str = "register") -> Refused:
    """A refusal that concerns the register; `rule` is the name of the argument it is about."""
    return Refused(repair_blocker(rule, statement, Party.CONTRACTOR))
