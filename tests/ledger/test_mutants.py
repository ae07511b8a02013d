"""A released history is changed at random, hundreds of times; no change goes unnoticed."""

import random
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

import pytest
from django.db import IntegrityError, models, transaction

from qc.ledger.chain import Chain, head_of, repair_chain
from qc.ledger.checkpoints import Kept, as_kept, take
from qc.ledger.models import Checkpoint, Entry
from qc.ledger.rows import subject_of
from qc.ledger.statement import content
from qc.records.models import Repair
from tests.factories import NOON
from tests.ledger.histories import (
    delete_entry,
    faults,
    insert_copy,
    lifted_seals,
    move,
    move_up,
    rehash,
    released_repair,
)
from tests.people import People

MUTANTS = 240
SEED = 20260512

Mutation = Callable[[random.Random, Chain], str]


class _Undo(Exception):
    """Takes a mutant back."""


def stated_rows(chain: Chain) -> list[Any]:
    """Every sealed row that the chain's entries state."""
    from qc.ledger.rows import stated_models

    found: list[Any] = []
    for model in stated_models():
        kind, path = subject_of(model)
        if kind is chain.kind:
            found += model._default_manager.filter(**{path: chain.subject_id}).order_by("pk")
    return found


def changed(value: Any, draw: random.Random) -> Any:
    """Another value of the same kind."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + draw.choice([1, 7])
    if isinstance(value, UUID):
        return UUID(int=draw.getrandbits(128))
    if isinstance(value, datetime):
        return datetime.fromtimestamp(value.timestamp() + draw.choice([-60, 1, 3600]), UTC)
    if isinstance(value, str):
        return f"{value[:-1]}{'y' if value[-1:] == 'x' else 'x'}"
    if isinstance(value, list):
        return [*value, "x"] if len(value) < 1 or draw.random() < 0.5 else value[1:]
    if isinstance(value, dict):
        name = draw.choice(sorted(value)) if value else "x"
        return value | {name: changed(value.get(name, ""), draw)}
    return "x"


def edit_a_column(draw: random.Random, chain: Chain) -> str:
    """Any column of any row, but the keys: those the database itself keeps apart."""
    cells = [
        (row, f)
        for row in stated_rows(chain)
        for f in row._meta.concrete_fields
        if not f.primary_key and not f.is_relation and getattr(row, f.attname) is not None
    ]
    return _edit(*draw.choice(cells), draw)


def edit_an_entry(draw: random.Random, chain: Chain) -> str:
    entry = draw.choice(list(chain.entries()))
    names = [f for f in Entry._meta.concrete_fields if not f.primary_key]
    free = [f for f in names if f.attname not in ("kind", "act")]
    return _edit(entry, draw.choice(free), draw)


def edit_an_entry_and_rehash(draw: random.Random, chain: Chain) -> str:
    entry = draw.choice(list(chain.entries()))
    columns = ("actor_id", "actor_name", "party", "act_id", "observed_at", "recorded_at", "payload")
    said = _edit(entry, Entry._meta.get_field(draw.choice(columns)), draw)
    rehash(chain, entry.position)
    return f"{said}, rehashed"


def delete_a_row(draw: random.Random, chain: Chain) -> str:
    row = draw.choice(stated_rows(chain))
    type(row)._base_manager.filter(pk=row.pk)._raw_delete("default")
    return f"{row._meta.model_name} {row.pk} deleted"


def copy_a_row(draw: random.Random, chain: Chain) -> str:
    free = ("reading", "evidence", "pointclosure", "return", "plancomment", "notice")
    rows = [row for row in stated_rows(chain) if row._meta.model_name in free]
    row = draw.choice(rows)
    row.pk = None
    if hasattr(row, "position"):
        row.position += 100
    row.save(force_insert=True)
    return f"{row._meta.model_name} copied"


def drop_an_entry(draw: random.Random, chain: Chain) -> str:
    position = draw.randint(1, head_of(chain)[0])
    delete_entry(chain, position)
    closed = draw.choice(["left open", "closed", "closed and rehashed"])
    if closed != "left open":
        move_up(chain, position)
    if closed == "closed and rehashed":
        rehash(chain, position)
    return f"entry {position} dropped, gap {closed}"


def put_in_an_entry(draw: random.Random, chain: Chain) -> str:
    last = head_of(chain)[0]
    position, of = draw.randint(2, last + 1), draw.randint(1, last)
    insert_copy(chain, position, of)
    rehashed = draw.random() < 0.5
    if rehashed:
        rehash(chain, position)
    return f"copy of {of} put in at {position}{', rehashed' if rehashed else ''}"


def swap_entries(draw: random.Random, chain: Chain) -> str:
    one, other = draw.sample(range(1, head_of(chain)[0] + 1), 2)
    move(chain, one, 1000)
    move(chain, other, one)
    move(chain, 1000, other)
    rehashed = draw.random() < 0.5
    if rehashed:
        rehash(chain)
    return f"entries {one} and {other} swapped{', rehashed' if rehashed else ''}"


def cut_the_tail(draw: random.Random, chain: Chain) -> str:
    keep = draw.randint(0, head_of(chain)[0] - 1)
    chain.entries().filter(position__gt=keep).delete()
    return f"cut after {keep}"


def rewrite_a_row_and_its_entry(draw: random.Random, chain: Chain) -> str:
    """A row and what the entry says of it, changed alike, with all hashes made to fit."""
    entry = draw.choice(list(chain.entries()))
    with_texts = {name for name in entry.payload if not name.endswith("use")} - {"repair", "asset"}
    table = draw.choice(sorted(with_texts))
    rows = [row for row in stated_rows(chain) if row._meta.model_name == table]
    row = next(row for row in rows if row.pk == entry.payload[table][0]["id"])
    texts = [
        f for f in row._meta.concrete_fields if isinstance(f, models.CharField | models.JSONField)
    ]
    said = _edit(row, draw.choice(texts), draw)
    row.refresh_from_db()
    payload = entry.payload | {table: [content(row), *entry.payload[table][1:]]}
    Entry.objects.filter(pk=entry.pk).update(payload=payload)
    rehash(chain, entry.position)
    return f"{said}, in row and entry, rehashed"


def move_the_repair(draw: random.Random, chain: Chain) -> str:
    """A column of the repair itself, which is not sealed."""
    repair = Repair.objects.get(pk=chain.subject_id)
    columns = ("title", "defect", "signing_round", "created_at", "status")
    name = draw.choice(columns)
    value = "approved" if name == "status" else changed(getattr(repair, name), draw)
    Repair.objects.filter(pk=repair.pk).update(**{name: value})
    return f"repair's {name} to {value!r}"


def edit_a_checkpoint(draw: random.Random, chain: Chain) -> str:
    checkpoint = draw.choice(list(Checkpoint.objects.all()))
    names = [f for f in Checkpoint._meta.concrete_fields if not f.primary_key]
    free = [f for f in names if f.attname != "heads"]
    return _edit(checkpoint, draw.choice(free), draw)


MUTATIONS: tuple[Mutation, ...] = (
    edit_a_column,
    edit_a_column,
    edit_a_column,
    edit_an_entry,
    edit_an_entry_and_rehash,
    delete_a_row,
    copy_a_row,
    drop_an_entry,
    put_in_an_entry,
    swap_entries,
    cut_the_tail,
    rewrite_a_row_and_its_entry,
    move_the_repair,
    edit_a_checkpoint,
)


def _edit(row: Any, column: Any, draw: random.Random) -> str:
    before = getattr(row, column.attname)
    value = changed(before, draw)
    if isinstance(value, str) and column.max_length and len(value) > column.max_length:
        value = value[: column.max_length]
    type(row)._base_manager.filter(pk=row.pk).update(**{column.attname: value})
    return f"{row._meta.model_name} {row.pk}: {column.attname} {before!r:.40} to {value!r:.40}"


def mutated(mutation: Mutation, draw: random.Random, chain: Chain, outside: list[Kept]) -> str:
    """What one mutant did, if it went unnoticed; empty if it was found. It is taken back."""
    while True:
        try:
            with transaction.atomic():
                said = mutation(draw, chain)
                found = faults(outside)
                raise _Undo
        except IntegrityError:
            # A constraint of the database forbids this one; another is drawn.
            continue
        except _Undo:
            return "" if found else said


@pytest.mark.parametrize("part", range(4))
def test_no_mutant_of_a_released_history_goes_unnoticed(people: People, part: int) -> None:
    chain = repair_chain(released_repair(people).pk)
    take(NOON, "daily")
    outside = [as_kept(checkpoint) for checkpoint in Checkpoint.objects.all()]
    draw = random.Random(SEED + part)
    assert faults(outside) == []

    with lifted_seals():
        unnoticed = [
            said
            for number in range(MUTANTS // 4)
            if (said := mutated(MUTATIONS[number % len(MUTATIONS)], draw, chain, outside))
        ]

    assert unnoticed == []
