"""Histories to tamper with, and the raw means to do it."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any
from uuid import uuid4

from django.db import connection

from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.ledger.canonical import canonical, digest
from qc.ledger.chain import GENESIS, Chain, hash_of, head_of, repair_chain
from qc.ledger.checkpoints import Kept
from qc.ledger.models import Entry
from qc.ledger.rows import Scope
from qc.ledger.seal import seal, unseal
from qc.records.check_code import new_check_code
from qc.records.models import Repair
from qc.workflow import release_certificate
from qc.workflow.document import record_document
from qc.workflow.verification import verify
from tests.factories import act_on, repair_at
from tests.people import People

THICKNESS_ENTRY = 6
"""The position of the entry that states the thickness readings of a finished repair."""


def released_repair(people: People) -> Repair:
    """A repair with every kind of entry from its start to its certificate."""
    repair = repair_at(people, Status.APPROVED)
    length, head = head_of(repair_chain(repair.pk))
    snapshot: dict[str, object] = {
        "record": record_document(repair),
        "ledger": {"length": length, "head": head},
    }
    release_certificate(
        repair_id=repair.pk,
        number=f"QR-{repair.number}",
        check_code=new_check_code(),
        snapshot=snapshot,
        pdf=b"%PDF-1.7 " + canonical(snapshot),
        **act_on(people, Party.CLIENT),
    )
    repair.refresh_from_db()
    return repair


@contextmanager
def lifted_seals() -> Iterator[None]:
    """What someone with the owner's rights can do; the seals are there again afterwards."""
    # PostgreSQL alters no table while checks of foreign keys are outstanding on it.
    connection.check_constraints()
    unseal(connection)
    yield
    connection.check_constraints()
    seal(connection)


def execute(statement: str, *values: Any) -> None:
    """One raw statement."""
    with connection.cursor() as cursor:
        cursor.execute(statement, values)


def run(statement: str, *values: Any) -> None:
    """One raw statement under lifted seals."""
    with lifted_seals():
        execute(statement, *values)


def json_text(column: str) -> str:
    """A JSON column as text, in SQL."""
    return f"{column}::text" if connection.vendor == "postgresql" else column


def as_json(expression: str) -> str:
    """Text as a value for a JSON column, in SQL."""
    return f"({expression})::jsonb" if connection.vendor == "postgresql" else expression


def replace_in_json(table: str, column: str, old: str, new: str) -> None:
    """Change a text inside a JSON column, by raw SQL."""
    value = as_json(f"replace({json_text(column)}, %s, %s)")
    execute(f"UPDATE {table} SET {column} = {value}", old, new)


def move(chain: Chain, position: int, to: int) -> None:
    """Give an entry another place, and change nothing else."""
    execute(
        "UPDATE qc_entry SET position = %s WHERE kind = %s AND subject_id = %s AND position = %s",
        to,
        str(chain.kind),
        chain.subject_id,
        position,
    )


def delete_entry(chain: Chain, position: int) -> None:
    """Remove an entry; those after it keep their places."""
    chain.entries().filter(position=position).delete()


def move_up(chain: Chain, position: int) -> None:
    """Close the gap at `position`."""
    for later in range(position + 1, head_of(chain)[0] + 1):
        move(chain, later, later - 1)


def insert_copy(chain: Chain, position: int, of: int) -> Entry:
    """Put a copy of an entry in front of the one at `position`, linked to the one before."""
    copy = chain.entries().get(position=of)
    for later in range(head_of(chain)[0], position - 1, -1):
        move(chain, later, later + 1)
    before = chain.entries().filter(position=position - 1).first()
    copy.pk, copy.position, copy.act_id = None, position, uuid4()
    # Two entries can't follow the same one: until all is rehashed it must point elsewhere.
    copy.previous_hash = digest(["put in", str(before), str(copy.act_id)])
    copy.own_hash = hash_of(copy)
    copy.save(force_insert=True)
    return copy


def rehash(chain: Chain, start: int = 1) -> None:
    """Recompute payload digests and hashes of a chain from `start` on, as a forger would."""
    before = chain.entries().filter(position=start - 1).first()
    previous = before.own_hash if before else GENESIS
    rewritten = []
    for entry in chain.entries().filter(position__gte=start):
        entry.payload_digest = digest(entry.payload)
        entry.previous_hash = previous
        entry.own_hash = previous = hash_of(entry)
        rewritten.append(entry)
    for entry in rewritten:
        made_up = digest(["aside", entry.own_hash])
        Entry.objects.filter(pk=entry.pk).update(previous_hash=made_up)
    for entry in rewritten:
        Entry.objects.filter(pk=entry.pk).update(
            payload_digest=entry.payload_digest,
            previous_hash=entry.previous_hash,
            own_hash=entry.own_hash,
        )


def faults(outside: Sequence[Kept] = (), *, files: bool = False) -> list[tuple[str, int | None]]:
    """What a verification of everything finds: fault and position, in order."""
    seen = verify(Scope(), outside, files=files)
    return [(str(finding.fault), finding.position) for finding in seen.findings]
