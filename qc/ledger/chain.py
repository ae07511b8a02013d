"""Appending to a repair's hash chain, and recomputing it."""

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from qc.accounts.models import User
from qc.engine.lifecycle import Act
from qc.engine.plan import Party
from qc.ledger.canonical import digest
from qc.ledger.models import Entry

__all__ = [
    "Entry",
    "append",
    "entry_of",
    "first_broken",
    "hash_of",
    "head_of",
    "latest_of",
    "utc_text",
]

GENESIS = "0" * 64
DOMAIN = "quality-record/ledger-entry/1"


def append(
    *,
    repair_id: int,
    act: Act,
    act_id: UUID,
    actor: User,
    party: Party,
    observed_at: datetime,
    recorded_at: datetime,
    payload: Mapping[str, Any],
) -> Entry:
    """Add the next entry of a repair's chain. The caller holds the lock on the repair's row."""
    last = Entry.objects.filter(repair_id=repair_id).order_by("-position").first()
    entry = Entry(
        repair_id=repair_id,
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
    return digest(
        {
            "domain": DOMAIN,
            "repair": entry.repair_id,
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
    )


def utc_text(moment: datetime) -> str:
    """A moment in UTC to the microsecond, the same on every database."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def entry_of(act_id: UUID) -> Entry | None:
    """The entry that the act with this id left, or None if it has not been done."""
    return Entry.objects.filter(act_id=act_id).first()


def latest_of(repair_id: int, act: Act) -> Entry | None:
    """The last entry of this kind in a repair's chain."""
    return Entry.objects.filter(repair_id=repair_id, act=act).order_by("-position").first()


def head_of(repair_id: int) -> tuple[int, str]:
    """The length of a repair's chain and the hash of its last entry."""
    last = Entry.objects.filter(repair_id=repair_id).order_by("-position").first()
    return (last.position, last.own_hash) if last else (0, GENESIS)


def first_broken(repair_id: int) -> int | None:
    """The position of the first entry that does not hold, or None if the chain is sound."""
    previous = GENESIS
    for expected, entry in enumerate(Entry.objects.filter(repair_id=repair_id), start=1):
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
