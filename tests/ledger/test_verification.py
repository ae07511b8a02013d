"""A history that holds; and each way in which one does not is named with its first entry."""

from collections.abc import Callable
from uuid import uuid4

import pytest
from django.core.files.storage import storages
from django.db import connection

from qc.evidence.models import Evidence
from qc.ledger.chain import Chain, head_of, register_chain, repair_chain
from qc.ledger.checkpoints import Kept, as_kept
from qc.ledger.models import Checkpoint, Entry
from qc.ledger.rows import Scope
from qc.records.models import Certificate, PointClosure, Reading, Repair, Signature
from qc.workflow.verification import verify
from tests.factories import repair_on_site
from tests.ledger.histories import (
    THICKNESS_ENTRY,
    delete_entry,
    execute,
    faults,
    insert_copy,
    lifted_seals,
    move,
    move_up,
    rehash,
    released_repair,
    replace_in_json,
    run,
)
from tests.people import People


@pytest.fixture
def chain(people: People) -> Chain:
    """The history of a released repair."""
    return repair_chain(released_repair(people).pk)


def kept_outside() -> list[Kept]:
    """The checkpoints as they were before anything was done to them."""
    return [as_kept(checkpoint) for checkpoint in Checkpoint.objects.all()]


def forget_what_is_printed(chain: Chain) -> None:
    """Lift the certificate's own knowledge of the head, so that only checkpoints are left."""
    execute("DELETE FROM qc_checkpoint")
    replace = "UPDATE qc_certificate SET snapshot = '{}' WHERE repair_id = %s"
    execute(replace, chain.subject_id)


def test_an_untouched_history_holds(people: People, chain: Chain) -> None:
    seen = verify(Scope(), kept_outside(), files=True)

    assert seen.findings == []
    register = head_of(register_chain(people.project.pk))[0]
    assert (seen.chains, seen.entries) == (2, head_of(chain)[0] + register)
    assert (seen.files, seen.checkpoints) == (2, 2)


def test_one_repair_is_verified_alone(people: People, chain: Chain) -> None:
    seen = verify(Scope(frozenset([chain.subject_id]), frozenset()))

    assert (seen.findings, seen.chains) == ([], 1)
    assert verify(Scope(frozenset(), frozenset())).chains == 0


def change_a_byte_of_a_reading(chain: Chain) -> None:
    replace_in_json("qc_reading", '"values"', "5.6 mm", "5.7 mm")


def change_what_was_typed(chain: Chain) -> None:
    replace_in_json("qc_reading", "as_typed", "5.6 mm", "5.7 mm")


def delete_a_reading(chain: Chain) -> None:
    reading = Reading.objects.get(inspection__step__key="thickness")
    execute("DELETE FROM qc_reading WHERE id = %s", reading.pk)


def put_in_a_reading(chain: Chain) -> None:
    reading = Reading.objects.get(inspection__step__key="thickness")
    reading.pk, reading.position = None, 2
    reading.save(force_insert=True)


def rename_the_signer(chain: Chain) -> None:
    execute("UPDATE qc_signature SET printed_name = 'Somebody' WHERE party = 'client'")


def move_the_moment_of_a_closure(chain: Chain) -> None:
    execute("UPDATE qc_pointclosure SET closed_at = '2026-05-12 11:00:00.000001+00:00'")


def exchange_the_certificate(chain: Chain) -> None:
    execute("UPDATE qc_certificate SET snapshot = replace(snapshot, 'SQT', 'SQX')")


def rename_the_actor(chain: Chain) -> None:
    execute("UPDATE qc_entry SET actor_name = 'Somebody' WHERE position = 2")


def rename_the_actor_and_rehash_that_entry(chain: Chain) -> None:
    from qc.ledger.chain import hash_of

    entry = chain.entries().get(position=4)
    entry.actor_name = "Somebody"
    chain.entries().filter(position=4).update(actor_name="Somebody", own_hash=hash_of(entry))


def move_the_moment_of_an_entry(chain: Chain) -> None:
    execute("UPDATE qc_entry SET recorded_at = '2026-05-11 11:00:00+00:00' WHERE position = 5")


def change_a_payload(chain: Chain) -> None:
    value = "'{\"reading\": []}'"
    execute(f"UPDATE qc_entry SET payload = {value} WHERE position = 6")


def delete_an_entry(chain: Chain) -> None:
    delete_entry(chain, 4)


def delete_an_entry_and_close_the_gap(chain: Chain) -> None:
    delete_entry(chain, 4)
    move_up(chain, 4)


def put_in_an_entry(chain: Chain) -> None:
    insert_copy(chain, 5, of=4)


def put_in_an_entry_and_rehash(chain: Chain) -> None:
    insert_copy(chain, 8, of=4)
    rehash(chain, 8)
    forget_what_is_printed(chain)


def swap_two_entries(chain: Chain) -> None:
    move(chain, 4, 1000)
    move(chain, 6, 4)
    move(chain, 1000, 6)


def swap_what_two_entries_say(chain: Chain) -> None:
    one, other = chain.entries().get(position=4), chain.entries().get(position=6)
    said = [f.attname for f in Entry._meta.concrete_fields]
    kept = {"id", "position", "previous_hash", "own_hash", "act_id"}
    columns = [name for name in said if name not in kept]
    ones = {name: getattr(one, name) for name in columns}
    chain.entries().filter(position=4).update(
        act_id=uuid4(), **{n: getattr(other, n) for n in ones}
    )
    chain.entries().filter(position=6).update(act_id=one.act_id, **ones)
    chain.entries().filter(position=4).update(act_id=other.act_id)


def swap_two_payloads(chain: Chain) -> None:
    one, other = chain.entries().get(position=4), chain.entries().get(position=6)
    chain.entries().filter(position=4).update(payload=other.payload)
    chain.entries().filter(position=6).update(payload=one.payload)


def cut_the_tail(chain: Chain) -> None:
    execute("DELETE FROM qc_checkpoint")
    chain.entries().filter(position__gt=10).delete()


def open_the_status(chain: Chain) -> None:
    execute("UPDATE qc_repair SET status = 'approved'")


def raise_the_signing_round(chain: Chain) -> None:
    execute("UPDATE qc_repair SET signing_round = 7")


def retitle_the_repair(chain: Chain) -> None:
    execute("UPDATE qc_repair SET title = 'Another'")


TAMPERINGS: list[tuple[Callable[[Chain], None], tuple[str, int | None]]] = [
    (change_a_byte_of_a_reading, ("altered", THICKNESS_ENTRY)),
    (change_what_was_typed, ("altered", THICKNESS_ENTRY)),
    (delete_a_reading, ("missing", THICKNESS_ENTRY)),
    (put_in_a_reading, ("inserted", None)),
    (rename_the_signer, ("altered", 13)),
    (move_the_moment_of_a_closure, ("altered", 8)),
    (exchange_the_certificate, ("altered", 14)),
    (rename_the_actor, ("altered", 2)),
    (rename_the_actor_and_rehash_that_entry, ("altered", 4)),
    (move_the_moment_of_an_entry, ("altered", 5)),
    (change_a_payload, ("altered", 6)),
    (delete_an_entry, ("missing", 4)),
    (delete_an_entry_and_close_the_gap, ("missing", 4)),
    (put_in_an_entry, ("inserted", 5)),
    (put_in_an_entry_and_rehash, ("inserted", 8)),
    (swap_two_entries, ("swapped", 4)),
    (swap_what_two_entries_say, ("swapped", 4)),
    (swap_two_payloads, ("swapped", 4)),
    (cut_the_tail, ("truncated", 11)),
    (open_the_status, ("altered", None)),
    (raise_the_signing_round, ("altered", None)),
    (retitle_the_repair, ("altered", 1)),
]


@pytest.mark.parametrize(("tamper", "first"), TAMPERINGS, ids=lambda v: getattr(v, "__name__", ""))
def test_what_was_done_behind_the_application_is_named(
    chain: Chain, tamper: Callable[[Chain], None], first: tuple[str, int | None]
) -> None:
    with lifted_seals():
        tamper(chain)

    assert faults()[0] == first


def test_an_altered_component_is_named(people: People, chain: Chain) -> None:
    run("UPDATE qc_asset SET wall = '9.53 mm'")

    # The register's own chain is not looked at here.
    found = verify(Scope(frozenset([chain.subject_id]), frozenset([people.project.pk]))).findings
    assert ("altered", 1, chain) in [(f.fault, f.position, f.chain) for f in found]


def test_a_history_that_is_gone_altogether_is_told(chain: Chain) -> None:
    outside = kept_outside()
    with lifted_seals():
        execute("DELETE FROM qc_entry")
        execute("DELETE FROM qc_checkpoint")

    assert ("truncated", None) in faults()
    assert ("truncated", 1) in faults(outside)


def cut_the_tail_and_all_it_says(chain: Chain) -> None:
    for model in (Certificate, Signature):
        execute(f"DELETE FROM {model._meta.db_table}")
    chain.entries().filter(position__gt=10).delete()
    execute("UPDATE qc_repair SET status = 'on_site'")


def rewrite_from_the_middle(chain: Chain) -> None:
    """Another reading, in the row and in the entry, with every hash after it made to fit."""
    for table, column in (
        ("qc_reading", '"values"'),
        ("qc_reading", "as_typed"),
        ("qc_inspection", "verdict"),
    ):
        replace_in_json(table, column, "5.6 mm", "7.6 mm")
    replace_in_json("qc_entry", "payload", "5.6 mm", "7.6 mm")
    rehash(chain, THICKNESS_ENTRY)


def insert_with_rows_of_its_own(chain: Chain) -> None:
    """An entry in front of another, with a row of its own, and every hash made to fit."""
    from qc.ledger.statement import content

    closure = PointClosure.objects.latest("pk")
    closure.pk, closure.note = None, "Put in"
    closure.save(force_insert=True)
    at = 8
    copy = insert_copy(chain, at, of=at)
    copy.payload = {"pointclosure": [content(closure)]}
    Entry.objects.filter(pk=copy.pk).update(payload=copy.payload)
    rehash(chain, at)


@pytest.mark.parametrize(
    ("tamper", "first"),
    [
        (cut_the_tail_and_all_it_says, ("truncated", 11)),
        (rewrite_from_the_middle, ("rewritten", 1)),
        (insert_with_rows_of_its_own, ("rewritten", 1)),
    ],
)
def test_what_was_made_to_fit_is_caught_by_what_was_kept_outside(
    chain: Chain, tamper: Callable[[Chain], None], first: tuple[str, int | None]
) -> None:
    outside = kept_outside()
    with lifted_seals():
        tamper(chain)
        forget_what_is_printed(chain)
        execute("DELETE FROM qc_certificate")

    assert first in faults(outside)


def test_a_rewritten_history_differs_from_the_head_that_the_certificate_prints(
    chain: Chain,
) -> None:
    with lifted_seals():
        rewrite_from_the_middle(chain)
        execute("DELETE FROM qc_checkpoint")

    assert faults() == [("rewritten", 1)]


def test_an_act_that_was_not_open_then_is_told(people: People) -> None:
    chain = repair_chain(repair_on_site(people).pk)
    with lifted_seals():
        execute("UPDATE qc_entry SET party = 'inspector' WHERE act = 'agree_plan'")
        rehash(chain)

    assert faults() == [("rewritten", 3)]


@pytest.mark.parametrize(
    ("table", "column", "position"),
    [("qc_entry", "recorded_at", 3), ("qc_signature", "signed_at", 13)],
)
@pytest.mark.parametrize("nonsense", ["noon", "2026-13-45 00:00:00"])
def test_a_column_that_can_no_longer_be_read_is_told_and_stops_nothing(
    chain: Chain, table: str, column: str, position: int, nonsense: str
) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL keeps columns to their type")
    where = "position = 3" if table == "qc_entry" else "party = 'client'"
    run(f"UPDATE {table} SET {column} = '{nonsense}' WHERE {where}")

    assert faults()[0] == ("altered", position)


def test_a_swapped_file_is_named_with_the_entry_that_states_it(chain: Chain) -> None:
    sha256 = Evidence.objects.get().sha256
    place = storages["evidence"].path(f"{sha256[:2]}/{sha256[2:]}")
    with open(place, "wb") as file:
        file.write(b"another photograph")

    assert faults(files=True) == [("file altered", 7)]
    assert faults() == []


def test_a_missing_file_is_named(chain: Chain) -> None:
    sha256 = Certificate.objects.get().pdf_digest
    storages["evidence"].delete(f"{sha256[:2]}/{sha256[2:]}")

    assert faults(files=True) == [("file missing", 14)]


def test_rows_that_are_replaced_under_an_entry_are_told_both_ways(chain: Chain) -> None:
    reading = Reading.objects.get(inspection__step__key="thickness")
    with lifted_seals():
        execute("DELETE FROM qc_reading WHERE id = %s", reading.pk)
        reading.pk = reading.pk + 1000
        reading.save(force_insert=True)

    assert faults() == [("missing", THICKNESS_ENTRY), ("inserted", None)]


def test_a_repair_that_no_entry_starts_is_told(people: People, chain: Chain) -> None:
    repair = Repair.objects.get()
    repair.pk, repair.number = None, "R-015"
    repair.save(force_insert=True)

    assert faults() == [("truncated", None)]
