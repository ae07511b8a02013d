"""Checkpoints over the heads of all chains, and comparing a history with them."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from django.db import connection, transaction
from django.db.models import OuterRef, Subquery

from qc.ledger.canonical import digest, utc_text
from qc.ledger.chain import GENESIS, Chain
from qc.ledger.models import Checkpoint, Entry, Kind

DOMAIN = "quality-record/checkpoint/1"
_LOCK = 0x71_63_63_70
"""The number of PostgreSQL's advisory lock: checkpoints are taken one after the other."""

Kept = dict[str, Any]
"""A checkpoint as it is kept outside: what `as_kept` gives."""


def take(at: datetime, occasion: str) -> Checkpoint:
    """Write a checkpoint over all chains as they stand, within the caller's transaction if any."""
    with transaction.atomic():
        _wait_for_others()
        last = Checkpoint.objects.order_by("-position").first()
        checkpoint = Checkpoint(
            position=last.position + 1 if last else 1,
            taken_at=at,
            occasion=occasion,
            heads=heads(),
            previous_hash=last.own_hash if last else GENESIS,
        )
        checkpoint.own_hash = hash_of_kept(as_kept(checkpoint))
        checkpoint.save(force_insert=True)
    return checkpoint


def heads() -> list[list[Any]]:
    """`[kind, subject, length, hash]` of every chain, in the order of kind and subject."""
    longest = Entry.objects.filter(kind=OuterRef("kind"), subject_id=OuterRef("subject_id"))
    last = longest.order_by("-position").values("position")[:1]
    rows = Entry.objects.filter(position=Subquery(last)).order_by("kind", "subject_id")
    return [list(row) for row in rows.values_list("kind", "subject_id", "position", "own_hash")]


def as_kept(checkpoint: Checkpoint) -> Kept:
    """A checkpoint as JSON types, to be kept outside."""
    return {
        "position": checkpoint.position,
        "taken_at": utc_text(checkpoint.taken_at),
        "occasion": checkpoint.occasion,
        "heads": checkpoint.heads,
        "previous": checkpoint.previous_hash,
        "hash": checkpoint.own_hash,
    }


def hash_of_kept(kept: Kept) -> str:
    """SHA-256 over everything a checkpoint says and the checkpoint before it."""
    said = {name: value for name, value in kept.items() if name != "hash"}
    return digest({"domain": DOMAIN, **said})


def heads_by_chain(checkpoints: Iterable[Kept]) -> dict[Chain, dict[int, set[str]]]:
    """The hash that each chain had at each length of which a checkpoint tells."""
    found: dict[Chain, dict[int, set[str]]] = {}
    for kept in checkpoints:
        for kind, subject, length, own_hash in kept["heads"]:
            lengths = found.setdefault(Chain(Kind(kind), subject), {})
            lengths.setdefault(length, set()).add(own_hash)
    return found


def missing_from(kept: Sequence[Kept]) -> list[Kept]:
    """The checkpoints after the last of those kept outside."""
    last = kept[-1]["position"] if kept else 0
    later = Checkpoint.objects.filter(position__gt=last).order_by("position")
    return [as_kept(checkpoint) for checkpoint in later]


def _wait_for_others() -> None:
    """Wait until no other checkpoint is being taken; SQLite has one writer at a time anyhow.

    No row is locked: the web role may not update a sealed table, and a lock wants that right.
    """
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [_LOCK])
