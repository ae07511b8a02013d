"""The gate: each thing that is open blocks alone, is listed, and two are two."""

from datetime import date
from uuid import uuid4

import pytest

from qc.engine.lifecycle import Refused, Status
from qc.engine.plan import Blocker, Party, open_items
from qc.ledger import chain
from qc.ledger.chain import repair_chain
from qc.records.check_code import new_check_code
from qc.records.models import Certificate, Repair, Signature
from qc.records.progress import progress_of
from qc.workflow import Manner, release_certificate, return_repair, sign
from qc.workflow.document import record_document
from qc.workflow.facts import gather
from tests.factories import (
    AMBIENT,
    FILLER,
    HARDNESS,
    NOON,
    THICKNESS,
    act_on,
    attach,
    batch,
    close,
    finished_repair,
    instrument,
    put_signature,
    record,
    repair_at,
    repair_on_site,
)
from tests.people import People

YESTERDAY = date(2026, 5, 11)


def still_open(repair: Repair) -> list[tuple[str, int | None]]:
    found: tuple[Blocker, ...] = open_items(gather(repair, progress_of(repair), at=NOON).steps)
    return [(blocker.rule, blocker.step) for blocker in found]


def test_a_finished_repair_has_nothing_open(people: People) -> None:
    assert still_open(finished_repair(people)) == []


def test_a_reading_out_of_limits_blocks(people: People) -> None:
    repair = finished_repair(people)

    record(people, repair, HARDNESS, [{"values": ["60"] * 40}])

    assert still_open(repair) == [("reading", HARDNESS)]


def test_an_instrument_past_its_calibration_date_blocks(people: People) -> None:
    repair = finished_repair(people)
    expired = instrument(people, "hygrometer", due_on=YESTERDAY)

    record(people, repair, AMBIENT, instruments=[expired.pk])

    assert still_open(repair) == [("calibration", AMBIENT)]


def test_an_instrument_on_its_due_day_does_not_block(people: People) -> None:
    repair = finished_repair(people)
    due_today = instrument(people, "hygrometer", due_on=NOON.date())

    record(people, repair, AMBIENT, instruments=[due_today.pk])

    assert still_open(repair) == []


def test_an_expired_batch_blocks(people: People) -> None:
    repair = finished_repair(people)

    record(people, repair, FILLER, batches=[batch(people, expiry=YESTERDAY).pk])

    assert still_open(repair) == [("shelf_life", FILLER)]


def test_a_missing_photograph_blocks(people: People) -> None:
    repair = repair_on_site(people)
    for position in (AMBIENT, FILLER, THICKNESS):
        record(people, repair, position)
    close(people, repair, THICKNESS, Manner.RELEASED)
    record(people, repair, HARDNESS)
    close(people, repair, HARDNESS, Manner.REVIEWED)

    assert still_open(repair) == [("evidence", THICKNESS)]
    attach(people, repair, THICKNESS, "gauge")
    assert still_open(repair) == []


def test_an_open_review_blocks(people: People) -> None:
    repair = repair_on_site(people)
    for position in (AMBIENT, FILLER, THICKNESS):
        record(people, repair, position)
    attach(people, repair, THICKNESS, "gauge")
    close(people, repair, THICKNESS, Manner.RELEASED)
    record(people, repair, HARDNESS)

    assert still_open(repair) == [("review", HARDNESS)]


def test_two_things_open_are_both_in_the_refusal(people: People) -> None:
    repair = finished_repair(people)
    expired = instrument(people, "hygrometer", due_on=YESTERDAY)
    record(people, repair, AMBIENT, instruments=[expired.pk])
    record(people, repair, FILLER, batches=[batch(people, expiry=YESTERDAY).pk])

    with pytest.raises(Refused) as refused:
        put_signature(people, repair, Party.INSPECTOR)

    assert [r.rule for r in refused.value.reasons] == ["calibration", "shelf_life"]
    assert Signature.objects.count() == 0


def test_the_three_sign_in_turn(people: People) -> None:
    repair = finished_repair(people)

    with pytest.raises(Refused, match="cannot sign work now"):
        put_signature(people, repair, Party.CONTRACTOR)
    for party in Party:
        put_signature(people, repair, party)

    repair.refresh_from_db()
    assert repair.stands_at is Status.APPROVED
    assert len({s.record_digest for s in Signature.objects.all()}) == 1


def test_a_wrong_password_signs_nothing(people: People) -> None:
    repair = finished_repair(people)

    with pytest.raises(Refused, match="password is not right"):
        put_signature(people, repair, Party.INSPECTOR, password="guess")

    assert Signature.objects.count() == 0


def test_a_record_that_changed_since_it_was_shown_is_not_signed(people: People) -> None:
    repair = finished_repair(people)

    with pytest.raises(Refused, match="has changed since you opened it"):
        sign(
            repair_id=repair.pk,
            party=Party.INSPECTOR,
            password="",
            seen_digest="0" * 64,
            **act_on(people, Party.INSPECTOR),
        )


def test_nobody_signs_for_a_party_that_is_not_theirs(people: People) -> None:
    repair = repair_at(people, Status.WITH_CLIENT)

    with pytest.raises(Refused, match="the client can"):
        sign(
            repair_id=repair.pk,
            party=Party.CLIENT,
            password="",
            seen_digest="",
            **act_on(people, Party.INSPECTOR),
        )


def release(people: People, repair: Repair, **more: object) -> object:
    snapshot: dict[str, object] = {"record": record_document(repair)}
    return release_certificate(
        repair_id=repair.pk,
        number="QR-SQT-R-014",
        check_code=new_check_code(),
        pdf=b"%PDF-1.7",
        **{"snapshot": snapshot, **act_on(people, Party.CLIENT), **more},
    )


def test_a_signed_record_is_released_once(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)

    release(people, repair)

    repair.refresh_from_db()
    assert repair.stands_at is Status.RELEASED
    assert Certificate.objects.get().snapshot_digest
    with pytest.raises(Refused, match="cannot release certificate now"):
        release(people, repair)


@pytest.mark.parametrize("status", [Status.ON_SITE, Status.INSPECTED, Status.WITH_CLIENT])
def test_an_unsigned_record_is_not_released(people: People, status: Status) -> None:
    repair = repair_at(people, status)

    with pytest.raises(Refused):
        release(people, repair)

    assert not Certificate.objects.exists()


def test_a_snapshot_of_another_record_is_not_released(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)

    with pytest.raises(Refused, match="changed while the certificate was made"):
        release(people, repair, snapshot={"record": {"other": "record"}})


def test_a_returned_record_is_signed_anew(people: People) -> None:
    repair = repair_at(people, Status.WITH_CLIENT)

    return_repair(
        repair_id=repair.pk, reason="Hardness by position, please", **act_on(people, Party.CLIENT)
    )

    repair.refresh_from_db()
    assert (repair.stands_at, repair.signing_round) == (Status.ON_SITE, 2)
    assert gather(repair, progress_of(repair), at=NOON).signatures == {}
    for party in Party:
        put_signature(people, repair, party)
    assert Signature.objects.count() == 5


def test_returning_needs_a_reason(people: People) -> None:
    repair = repair_at(people, Status.INSPECTED)

    with pytest.raises(Refused, match="Say why"):
        return_repair(repair_id=repair.pk, reason=" ", **act_on(people, Party.CONTRACTOR))


def test_every_act_leaves_one_entry_and_the_chain_holds(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)
    release(people, repair)

    length, _ = chain.head_of(repair_chain(repair.pk))
    acts = repair_chain(repair.pk).entries().values_list("act", flat=True)
    assert list(acts) == [
        "start_repair",
        "revise_plan",
        "agree_plan",
        *["record_inspection"] * 3,
        "add_evidence",
        "close_point",
        "record_inspection",
        "close_point",
        "sign_inspection",
        "sign_work",
        "sign_approval",
        "release_certificate",
    ]
    assert length == len(acts)
    assert chain.first_broken(repair_chain(repair.pk)) is None
    assert chain.entry_of(uuid4()) is None


def test_an_approved_record_that_moved_on_goes_back_to_be_signed_anew(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)

    return_repair(
        repair_id=repair.pk, reason="A calibration came late", **act_on(people, Party.CLIENT)
    )

    repair.refresh_from_db()
    assert (repair.stands_at, repair.signing_round) == (Status.ON_SITE, 2)
