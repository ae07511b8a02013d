"""An instrument that failed, or whose calibration was bad, puts in doubt what rests on it."""

from datetime import date, timedelta
from typing import Any

import pytest

from qc.engine.lifecycle import Act, Refused, Status
from qc.engine.plan import Party
from qc.ledger.chain import repair_chain
from qc.records.models import Nonconformance, Repair, Return
from qc.workflow import InstrumentOutline, add_calibration, add_instrument, check_instrument
from tests.factories import (
    AMBIENT,
    NOON,
    READINGS,
    THICKNESS,
    Manner,
    act_on,
    attach,
    close,
    finished_repair,
    instrument,
    put_signature,
    record,
    repair_on_site,
)
from tests.people import People
from tests.workflow.doubting import (
    EVENING,
    LATER,
    checked,
    concede,
    doubts,
    fail,
    gauge,
    measured,
    open_rules,
    withdraw,
)


def test_a_failed_check_after_use_puts_the_readings_before_it_in_doubt(people: People) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    fail(people, kept)

    (doubt,) = doubts(repair)
    assert doubt.rule == "instrument"
    assert doubt.place == f"instrument/{kept.pk}"
    assert doubt.statement == (
        "instrument DG-1 failed its check after use on 12 May 2026 18:00 (10.4 mm found on block"
        " B-10 of 10 mm, tolerance 0.05 mm): suspect since 31 Dec 2025 00:00"
    )
    assert "instrument" in open_rules(repair)


def test_a_check_that_passes_puts_nothing_in_doubt(people: People) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    checked(people, kept, "10.05 mm")

    assert doubts(repair) == []
    assert not Nonconformance.objects.exists()


@pytest.mark.parametrize(
    ("good_at", "in_doubt"),
    [
        (NOON - timedelta(minutes=1), True),
        (NOON, False),
        (NOON + timedelta(minutes=1), False),
    ],
)
def test_only_what_was_read_since_the_last_good_check_is_in_doubt(
    people: People, good_at: Any, in_doubt: bool
) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    checked(people, kept, "10 mm", good_at)
    fail(people, kept)

    assert bool(doubts(repair)) is in_doubt
    assert Nonconformance.objects.exists() is in_doubt


def test_what_is_read_after_the_failure_is_in_doubt_until_a_check_passes(people: People) -> None:
    kept = gauge(people)
    fail(people, kept)
    repair = repair_on_site(people)
    measured(people, repair, kept, at=EVENING + timedelta(hours=1))
    assert len(doubts(repair)) == 1

    checked(people, kept, "10 mm", EVENING + timedelta(minutes=30), entered=LATER)
    assert doubts(repair) == []


def test_every_affected_repair_gets_a_report_and_an_entry_and_no_other(people: People) -> None:
    kept, other = gauge(people), gauge(people, "DG-2")
    hit, spared = repair_on_site(people), repair_on_site(people, number="R-015")
    entry = measured(people, hit, kept)
    measured(people, spared, other)
    fail(people, kept)

    (report,) = Nonconformance.objects.all()
    assert (report.repair_id, report.origin, report.number) == (hit.pk, "instrument", 1)
    assert report.step is not None and report.step.position == THICKNESS
    assert report.inspection is not None and report.inspection.act_id == entry.act_id
    assert report.statement.startswith("Step 3, Filler thickness: instrument DG-1 failed its check")
    last = repair_chain(hit.pk).entries().last()
    assert last is not None and last.act == Act.DOUBT_READINGS
    assert last.stated(Nonconformance)[0]["id"] == report.pk
    assert not repair_chain(spared.pk).entries().filter(act=Act.DOUBT_READINGS).exists()


def test_a_second_failure_in_the_same_time_opens_no_second_report(people: People) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    fail(people, kept)
    fail(people, kept, EVENING + timedelta(hours=1))

    assert Nonconformance.objects.count() == 1
    assert len(doubts(repair)) == 1


def test_a_record_that_is_being_signed_goes_back_to_site_and_says_why(people: People) -> None:
    repair = finished_repair(people)
    used = repair.inspections.get(step__position=THICKNESS).instrument_uses.get().instrument
    put_signature(people, repair, Party.INSPECTOR)
    fail(people, used)

    repair.refresh_from_db()
    assert repair.stands_at is Status.ON_SITE
    assert repair.signing_round == 2
    returned = Return.objects.get()
    assert returned.act == Act.DOUBT_READINGS
    assert returned.reason.startswith(f"Instrument {used.identifier} failed its check after use")


def test_a_late_entry_into_a_time_in_doubt_is_caught_and_reported(people: People) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    fail(people, kept)
    entry = measured(people, repair, kept, at=LATER, observed_at=NOON)

    assert len(doubts(repair)) == 1
    (report,) = Nonconformance.objects.all()
    assert report.origin == "instrument"
    assert entry.stated(Nonconformance)[0]["id"] == report.pk


def test_readings_say_themselves_when_they_were_taken(people: People) -> None:
    """An ambient reading of the morning, entered with those of the evening."""
    repair = repair_on_site(people)
    kept = instrument(people, "hygrometer")
    morning = dict(READINGS[AMBIENT][0])
    evening = {**morning, "at": "2026-05-12T16:00+00:00"}
    record(
        people,
        repair,
        AMBIENT,
        [morning, evening],
        at=NOON + timedelta(hours=5),
        instruments=[kept.pk],
    )
    said: dict[str, Any] = {"nominal": "75 %", "tolerance": "2 %", "reference": "salt 75"}
    for found, at in (("80 %", NOON + timedelta(hours=1)), ("75 %", NOON + timedelta(hours=3))):
        check_instrument(
            project_id=people.project.pk,
            instrument_id=kept.pk,
            occasion="before",
            found=found,
            checked_at=at,
            **said,
            **act_on(people, Party.INSPECTOR, at),
        )
    assert len(doubts(repair, AMBIENT)) == 1


def test_new_readings_with_another_instrument_clear_the_doubt(people: People) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    fail(people, kept)
    measured(
        people,
        repair,
        gauge(people, "DG-2"),
        at=LATER,
        new_series=True,
        rework="measured again with DG-2",
    )

    assert doubts(repair) == []


def test_the_same_instrument_clears_nothing_before_it_is_good_again(people: People) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    fail(people, kept)
    again: dict[str, Any] = {"new_series": True, "rework": "measured again"}
    measured(people, repair, kept, at=LATER, **again)
    assert len(doubts(repair)) == 1

    checked(people, kept, "10.01 mm", LATER + timedelta(hours=1), occasion="before")
    measured(people, repair, kept, at=LATER + timedelta(hours=2), **again)
    assert doubts(repair, at=LATER + timedelta(hours=3)) == []


def test_a_concession_on_the_report_covers_the_doubt_through_its_last_day(people: People) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    fail(people, kept)
    concede(people, repair, 1, until=date(2026, 6, 30))

    last_day = LATER.replace(month=6, day=30)
    assert doubts(repair, at=last_day) == []
    assert len(doubts(repair, at=last_day + timedelta(days=1))) == 1


def test_a_concession_covers_nothing_that_is_recorded_after_it(people: People) -> None:
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    fail(people, kept)
    concede(people, repair, 1)
    measured(people, repair, kept, at=LATER, observed_at=NOON)

    assert len(doubts(repair)) == 1
    assert Nonconformance.objects.count() == 2


def test_a_withdrawn_calibration_puts_in_doubt_what_was_read_since_it_was_bad(
    people: People,
) -> None:
    kept, before, after = (
        gauge(people),
        repair_on_site(people),
        repair_on_site(people, number="R-2"),
    )
    measured(people, before, kept, at=NOON)
    measured(people, after, kept, at=EVENING)
    withdraw(people, kept, NOON + timedelta(hours=1))

    assert doubts(before) == []
    (doubt,) = doubts(after)
    assert doubt.statement == (
        f"calibration C-{kept.pk} of instrument DG-1 is bad since 12 May 2026 13:00 (The"
        " laboratory's block was worn): suspect since 12 May 2026 13:00"
    )
    assert Nonconformance.objects.get().repair_id == after.pk


def test_the_next_calibration_that_holds_ends_the_doubt(people: People) -> None:
    kept, repair = gauge(people), repair_on_site(people)
    add_calibration(
        project_id=people.project.pk,
        instrument_id=kept.pk,
        certificate="C-new",
        calibrated_on=date(2026, 5, 13),
        due_on=date(2027, 5, 12),
        **act_on(people, Party.CONTRACTOR, LATER),
    )
    withdraw(people, kept, NOON - timedelta(days=10))
    measured(people, repair, kept, at=LATER)

    assert doubts(repair) == []


def test_one_calibration_is_withdrawn_once(people: People) -> None:
    kept = gauge(people)
    withdraw(people, kept, NOON)
    with pytest.raises(Refused, match="withdrawn already"):
        withdraw(people, kept, NOON)


@pytest.mark.parametrize(
    ("values", "in_doubt"),
    [(["5.6 mm", "25 mm"], False), (["5.6 mm", "25.001 mm"], True), (["0.4 in", "1 in"], True)],
)
def test_a_reading_beyond_the_range_of_its_instrument_is_in_doubt(
    people: People, values: list[str], in_doubt: bool
) -> None:
    repair = repair_on_site(people)
    kept = gauge(people, range_low="0 mm", range_high="25 mm")
    measured(people, repair, kept, readings=[{"values": values}])

    found = doubts(repair)
    assert bool(found) is in_doubt
    if in_doubt:
        assert found[0].rule == "range"
        assert "lies beyond the range of DG-1 (0 mm to 25 mm)" in found[0].statement


def test_one_instrument_whose_range_covers_the_value_is_enough(people: People) -> None:
    repair = repair_on_site(people)
    small = gauge(people, range_low="0 mm", range_high="5 mm")
    large = gauge(people, "DG-2", range_low="0 mm", range_high="50 mm")
    record(people, repair, THICKNESS, instruments=[small.pk, large.pk])

    assert doubts(repair) == []


def test_an_instrument_without_a_range_may_have_taken_the_value(people: People) -> None:
    repair = repair_on_site(people)
    small = gauge(people, range_low="0 mm", range_high="5 mm")
    record(people, repair, THICKNESS, instruments=[small.pk, gauge(people, "DG-2").pk])

    assert doubts(repair) == []


def test_a_repair_that_is_cleared_can_be_released_again(people: People) -> None:
    repair = finished_repair(people)
    used = repair.inspections.get(step__position=THICKNESS).instrument_uses.get().instrument
    fail(people, used)
    assert open_rules(repair) == ["instrument", "nonconformance"]
    concede(people, repair, 1)

    assert open_rules(repair) == []


def test_an_instrument_of_another_project_has_no_consequence_here(people: People) -> None:
    repair = repair_on_site(people)
    measured(people, repair, gauge(people))
    add_instrument(
        project_id=people.elsewhere.pk,
        outline=InstrumentOutline(identifier="DG-1", kind="depth_gauge"),
        **{**act_on(people, Party.INSPECTOR), "actor": people.olu},
    )

    assert doubts(repair) == []
    assert Repair.objects.count() == 1


def test_points_and_evidence_stay_as_they_are(people: People) -> None:
    """A doubt is no verdict: what was released stays released until readings change."""
    repair, kept = repair_on_site(people), gauge(people)
    measured(people, repair, kept)
    attach(people, repair, THICKNESS, "gauge")
    close(people, repair, THICKNESS, Manner.RELEASED)
    fail(people, kept)

    assert "hold" not in open_rules(repair)
