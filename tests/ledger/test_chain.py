"""Canonical bytes, and a chain that notices what was changed behind the application's back."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from django.db import IntegrityError, transaction

from qc.ledger import chain
from qc.ledger.canonical import canonical, digest
from qc.ledger.chain import repair_chain
from tests.factories import AMBIENT, act_on, record, repair_on_site
from tests.ledger.histories import run
from tests.people import People


def test_the_same_content_has_the_same_bytes_whatever_its_order() -> None:
    assert canonical({"b": 1, "a": "x"}) == canonical({"a": "x", "b": 1}) == b'{"a":"x","b":1}'


def test_composed_and_decomposed_letters_are_one_text() -> None:
    assert digest("é") == digest("e\N{COMBINING ACUTE ACCENT}")


def test_a_float_has_no_canonical_form() -> None:
    with pytest.raises(TypeError, match="write the decimal as a string"):
        canonical({"thickness": 0.1})


def test_the_empty_object_has_its_published_digest() -> None:
    # SHA-256 of the two bytes {}, as any tool computes it.
    assert digest({}) == "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"


def test_a_moment_is_written_in_utc_whatever_its_zone() -> None:
    local = datetime(2026, 5, 12, 12, 0, tzinfo=timezone(timedelta(hours=1)))

    assert chain.utc_text(local) == "2026-05-12T11:00:00.000000Z"
    assert chain.utc_text(datetime(2026, 5, 12, 11, tzinfo=UTC)) == chain.utc_text(local)


def test_an_untouched_chain_is_sound_and_gapless(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)

    positions = repair_chain(repair.pk).entries().values_list("position", flat=True)
    assert list(positions) == [1, 2, 3, 4]
    assert chain.first_broken(repair_chain(repair.pk)) is None


@pytest.mark.parametrize(
    ("tampering", "first"),
    [
        ("UPDATE qc_entry SET actor_name = 'Somebody' WHERE position = 2", 2),
        ("UPDATE qc_entry SET payload = '{\"x\": 1}' WHERE position = 3", 3),
        ("UPDATE qc_entry SET recorded_at = '2020-01-01 00:00:00+00:00' WHERE position = 1", 1),
        ("DELETE FROM qc_entry WHERE position = 2", 2),
    ],
)
def test_what_was_changed_in_the_table_is_named(people: People, tampering: str, first: int) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)

    run(tampering)

    assert chain.first_broken(repair_chain(repair.pk)) == first


def test_two_entries_cannot_follow_the_same_one(people: People) -> None:
    repair = repair_on_site(people)
    last = repair_chain(repair.pk).entries().latest("position")

    with pytest.raises(IntegrityError), transaction.atomic():
        last.pk = None
        last.act_id = act_on(people, "inspector")["act_id"]  # type: ignore[arg-type]
        last.save(force_insert=True)
