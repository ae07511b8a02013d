"""Appending to a subject's hash chain, and recomputing it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import QuerySet

from qc.accounts.models import User
from qc.engine.lifecycle import Act, RegisterAct
from qc.engine.plan import Party
from qc.ledger.canonical import digest, utc_text
from qc.ledger.models import Entry, Kind

__all__ = [
    "Chain",
    "Entry",
    "append",
    "chain_of",
    "entry_of",
    "first_broken",
    "hash_of",
    "head_of",
    "register_chain",
    "repair_chain",
    "utc_text",
]

GENESIS = "0" * 64
DOMAIN = "quality-record/ledger-entry/1"


@dataclass(frozen=True)
class Chain:
    """Whose history: a repair's, or that of a project's register."""

    kind: Kind
    subject_id: int

    @property
    def is_a_repairs(self) -> bool:
        """True for the chain of a repair."""
        return self.kind == Kind.REPAIR

    def entries(self) -> QuerySet[Entry]:
        """The entries, oldest first."""
        return Entry.objects.filter(kind=self.kind, subject_id=self.subject_id)


def repair_chain(repair_id: int) -> Chain:
    """The chain of a repair."""
    return Chain(Kind.REPAIR, repair_id)


def register_chain(project_id: int) -> Chain:
    """The chain of a project's register."""
    return Chain(Kind.REGISTER, project_id)


def chain_of(entry: Entry) -> Chain:
    """The chain in which an entry stands."""
    return Chain(Kind(entry.kind), entry.subject_id)


def append(
    *,
    chain: Chain,
    act: Act | RegisterAct,
    act_id: UUID,
    actor: User,
    party: Party,
    observed_at: datetime,
    recorded_at: datetime,
    payload: Mapping[str, Any],
) -> Entry:
    """Add the next entry of a chain. The caller holds the lock on the row of its subject."""
    last = chain.entries().order_by("-position").first()
    entry = Entry(
        kind=chain.kind,
        subject_id=chain.subject_id,
        position=last.position + 1 if last else 1,
        act=act,
        act_id=act_id,
        actor_id=actor.pk,
        actor_name=actor.printed_name,
        party=party,
        observed_at=observed_at,
        recorded_at=recorded_at,
        payload=dict(payload),
        payload_digest=digest(payload),
        previous_hash=last.own_hash if last else GENESIS,
    )
    entry.own_hash = hash_of(entry)
    entry.save(force_insert=True)
    return entry


def hash_of(entry: Entry) -> str:
    """SHA-256 over everything an entry says, its place and the entry before it."""
    return digest(said_by(entry))


def said_by(entry: Entry) -> dict[str, Any]:
    """What the hash of an entry is made of, as JSON types."""
    return {
        "domain": DOMAIN,
        "chain": [str(entry.kind), entry.subject_id],
        "position": entry.position,
        "act": str(entry.act),
        "act_id": str(entry.act_id),
        "actor": entry.actor_id,
        "actor_name": entry.actor_name,
        "party": str(entry.party),
        "observed_at": utc_text(entry.observed_at),
        "recorded_at": utc_text(entry.recorded_at),
        "payload": entry.payload_digest,
        "previous": entry.previous_hash,
    }


def entry_of(act_id: UUID) -> Entry | None:
    """The entry that the act with this id left, or None if it has not been done."""
    return Entry.objects.filter(act_id=act_id).first()


def head_of(chain: Chain) -> tuple[int, str]:
    """The length of a chain and the hash of its last entry."""
    last = chain.entries().order_by("-position").first()
    return (last.position, last.own_hash) if last else (0, GENESIS)


def first_broken(chain: Chain) -> int | None:
    """The position of the first entry that does not hold, or None if the chain is sound."""
    previous = GENESIS
    for expected, entry in enumerate(chain.entries(), start=1):
        sound = (
            entry.position == expected
            and entry.previous_hash == previous
            and entry.payload_digest == digest(entry.payload)
            and entry.own_hash == hash_of(entry)
        )
        if not sound:
            return expected
        previous = entry.own_hash
    return None
