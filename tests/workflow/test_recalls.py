"""A batch that is recalled reaches every repair it went into."""

from datetime import timedelta
from typing import Any

from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.ledger.chain import Entry
from qc.records.models import Batch, Nonconformance
from qc.workflow import recall_batch
from tests.factories import (
    FILLER,
    act_on,
    batch,
    finished_repair,
    put_signature,
    record,
    repair_on_site,
)
from tests.people import People
from tests.workflow.doubting import LATER, concede, doubts, open_rules


def recall(people: People, kept: Batch) -> Entry:
    return recall_batch(
        project_id=people.project.pk,
        batch_id=kept.pk,
        reason="Hardener filled short",
        **act_on(people, Party.CONTRACTOR, LATER),
    )


def test_a_recall_reports_every_repair_the_batch_went_into(people: People) -> None:
    bad, good = batch(people), batch(people)
    hit, spared = repair_on_site(people), repair_on_site(people, number="R-015")
    record(people, hit, FILLER, batches=[bad.pk, good.pk])
    record(people, spared, FILLER, batches=[good.pk])
    recall(people, bad)

    (report,) = Nonconformance.objects.all()
    assert (report.repair_id, report.origin) == (hit.pk, "batch")
    (doubt,) = doubts(hit, FILLER)
    assert doubt.rule == "batch"
    assert doubt.statement == (
        f"batch {bad.number} of Metal-filled filler is recalled (Hardener filled short)"
    )
    assert doubts(spared, FILLER) == []


def test_a_recalled_batch_that_is_used_later_is_caught_and_reported(people: People) -> None:
    bad, repair = batch(people), repair_on_site(people)
    recall(people, bad)
    record(people, repair, FILLER, batches=[bad.pk], at=LATER + timedelta(hours=1))

    assert len(doubts(repair, FILLER)) == 1
    assert Nonconformance.objects.get().origin == "batch"


def test_work_done_again_with_another_batch_clears_the_doubt(people: People) -> None:
    bad, repair = batch(people), repair_on_site(people)
    record(people, repair, FILLER, batches=[bad.pk])
    recall(people, bad)
    again: dict[str, Any] = {"new_series": True, "rework": "Filler taken out and laid anew"}
    record(people, repair, FILLER, at=LATER + timedelta(hours=1), **again)

    assert doubts(repair, FILLER) == []


def test_a_concession_covers_what_the_batch_went_into(people: People) -> None:
    bad, repair = batch(people), repair_on_site(people)
    record(people, repair, FILLER, batches=[bad.pk])
    recall(people, bad)
    concede(people, repair, 1)

    assert doubts(repair, FILLER) == []


def test_a_record_that_is_being_signed_goes_back_to_site(people: People) -> None:
    repair = finished_repair(people)
    put_signature(people, repair, Party.INSPECTOR)
    recall(people, repair.inspections.get(step__position=FILLER).batch_uses.get().batch)

    repair.refresh_from_db()
    assert repair.stands_at is Status.ON_SITE
    assert open_rules(repair) == ["batch", "nonconformance"]
