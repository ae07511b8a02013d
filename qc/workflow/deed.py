"""The frame of every act: lock, gather, decide, save, append, in one transaction."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import wraps
from typing import ParamSpec
from uuid import UUID

from django.db import transaction
from django.db.models import Model

from qc.accounts.models import User
from qc.engine.lifecycle import (
    Act,
    Facts,
    Refused,
    RegisterAct,
    Transition,
    decide,
    repair_blocker,
)
from qc.engine.plan import Party
from qc.ledger import chain
from qc.ledger.chain import Entry, repair_chain
from qc.records.models import Repair, Return
from qc.records.progress import StepProgress, progress_of
from qc.records.queries import membership_in
from qc.workflow.facts import gather
from qc.workflow.restate import statement

P = ParamSpec("P")


class AlreadyDone(Exception):
    """The act with this id has been done; `entry` is what it left."""

    def __init__(self, entry: Entry) -> None:
        super().__init__(str(entry.act_id))
        self.entry = entry


@dataclass(frozen=True, kw_only=True)
class Deed:
    """An act that has been allowed and is being carried out under the repair's lock."""

    act: Act
    act_id: UUID
    repair: Repair
    actor: User
    party: Party
    at: datetime
    progress: tuple[StepProgress, ...]
    facts: Facts
    transition: Transition

    def step(self, position: int) -> StepProgress:
        """The step at `position`; Refused if the plan has none."""
        for progress in self.progress:
            if progress.step.position == position:
                return progress
        raise Refused(repair_blocker("plan", f"The plan has no step {position}."))


def act(function: Callable[P, Entry]) -> Callable[P, Entry]:
    """Run an act in one transaction; sent twice with the same id it is done once."""

    @wraps(function)
    def run(*args: P.args, **kwargs: P.kwargs) -> Entry:
        try:
            with transaction.atomic():
                return function(*args, **kwargs)
        except AlreadyDone as done:
            return done.entry

    return run


def begin(
    act: Act,
    *,
    repair_id: int,
    actor: User,
    at: datetime,
    act_id: UUID,
    position: int | None = None,
) -> Deed:
    """Lock the repair, gather the facts and decide. Refused with every reason at once.

    AlreadyDone if the act was done before; NotAMember if the actor has no part in the project.
    """
    repair = Repair.objects.select_for_update().get(pk=repair_id)
    party = membership_in(actor, repair).acts_for
    refuse_repetition(act, act_id, actor, repair_id)
    progress = progress_of(repair)
    facts = gather(repair, progress, at=at, actor=actor.pk, position=position)
    transition = decide(repair.stands_at, act, party, facts)
    return Deed(
        act=act,
        act_id=act_id,
        repair=repair,
        actor=actor,
        party=party,
        at=at,
        progress=progress,
        facts=facts,
        transition=transition,
    )


def finish(deed: Deed, *rows: Model | None, observed_at: datetime | None = None) -> Entry:
    """Move the repair to its new status and append the act, stating every row that it wrote.

    Where the record is taken from those who sign it, `void_signatures` has said why before.
    """
    if deed.repair.status != deed.transition.after:
        deed.repair.status = deed.transition.after
        deed.repair.save(update_fields=["status"])
    return chain.append(
        chain=repair_chain(deed.repair.pk),
        act=deed.act,
        act_id=deed.act_id,
        actor=deed.actor,
        party=deed.party,
        observed_at=observed_at or deed.at,
        recorded_at=deed.at,
        payload=statement(deed.act, rows),
    )


def void_signatures(deed: Deed, reason: str) -> Return | None:
    """Open a new round of signing, saying why, if the act takes the record back to site."""
    if not deed.transition.voids_signatures:
        return None
    returned = Return.objects.create(
        repair=deed.repair,
        signing_round=deed.repair.signing_round,
        party=deed.party,
        returned_by=deed.actor,
        returned_by_name=deed.actor.printed_name,
        act=deed.act,
        reason=reason,
        returned_at=deed.at,
    )
    deed.repair.signing_round += 1
    deed.repair.save(update_fields=["signing_round"])
    return returned


def refuse_repetition(
    act: Act | RegisterAct, act_id: UUID, actor: User, subject_id: int | None = None
) -> None:
    """AlreadyDone if this very act was done before; Refused if its id served for another.

    `subject_id` is the repair's or the project's; None for the act that opens the repair.
    """
    done = chain.entry_of(act_id)
    if done is None:
        return
    same_subject = subject_id in (None, done.subject_id)
    if (done.act, done.actor_id) != (act, actor.pk) or not same_subject:
        raise Refused(repair_blocker("act", "This form has been used for another act; reload it."))
    raise AlreadyDone(done)
