"""Recording and correcting: readings stay, verdicts follow, holds hold."""

from datetime import timedelta
from functools import partial
from uuid import uuid4

import pytest

from qc.engine.lifecycle import Refused, Status
from qc.engine.plan import Party
from qc.engine.rules import Outcome
from qc.ledger.chain import Entry
from qc.records.models import Inspection, Reading, Repair
from qc.records.progress import StepProgress, progress_of
from qc.workflow import Manner, Observation, correct_inspection, record_inspection
from tests.factories import (
    AMBIENT,
    FILLER,
    HARDNESS,
    NOON,
    READINGS,
    THICKNESS,
    act_on,
    attach,
    close,
    instrument,
    record,
    repair_at,
    repair_on_site,
)
from tests.people import People

LOW = [{"values": ["4.6 mm", "6.1 mm"]}]


def progress(repair: Repair, position: int) -> StepProgress:
    return progress_of(repair)[position - 1]


def test_a_reading_is_judged_by_the_plan_and_its_verdict_kept(people: People) -> None:
    repair = repair_on_site(people)

    record(people, repair, THICKNESS)

    inspection = Inspection.objects.get()
    assert inspection.came_to is Outcome.CONFORMS
    assert "common practice" in {f["source"] for f in inspection.verdict["findings"]}
    assert inspection.criteria == {"rule": "minimum", "min": "5 mm"}
    assert inspection.engine == inspection.verdict["engine"]
    assert Reading.objects.get().values == READINGS[THICKNESS][0]


def test_readings_of_a_step_are_judged_together(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS)
    close(people, repair, THICKNESS, Manner.RELEASED)

    record(people, repair, HARDNESS, [{"values": ["78", "80"]}])
    first = progress(repair, HARDNESS).outcome
    record(people, repair, HARDNESS, [{"values": ["79", "81", "76"]}])

    assert first is Outcome.INCOMPLETE
    assert progress(repair, HARDNESS).outcome is Outcome.CONFORMS


def test_after_a_failing_verdict_the_next_readings_say_what_was_done(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS, LOW)

    with pytest.raises(Refused, match="say what was done"):
        record(people, repair, THICKNESS)

    record(people, repair, THICKNESS, rework="Built up and measured again")
    after = progress(repair, THICKNESS)
    assert (after.series, after.outcome, len(after.inspections)) == (2, Outcome.CONFORMS, 2)


def test_a_correction_names_the_old_reading_and_both_stay(people: People) -> None:
    repair = repair_on_site(people)
    wrong = record(people, repair, THICKNESS, [{"values": ["52 mm", "4.6 mm"]}])

    correct(people, repair.pk, wrong, reason="Point typed one place off")

    after = progress(repair, THICKNESS)
    assert after.outcome is Outcome.CONFORMS
    assert after.corrected == {wrong.stated(Inspection)[0]["id"]}
    assert [len(i.readings.all()) for i in after.inspections] == [1, 1]
    assert after.inspections[1].reason == "Point typed one place off"


def correct(people: People, repair_id: int, wrong: Entry, reason: str) -> Entry:
    return correct_inspection(
        repair_id=repair_id,
        position=THICKNESS,
        inspection_id=wrong.stated(Inspection)[0]["id"],
        reason=reason,
        observation=Observation(
            readings=[{"values": ["5.2 mm", "6.1 mm"]}],
            observed_at=NOON,
            instruments=[instrument(people, "depth_gauge").pk],
        ),
        **act_on(people, Party.INSPECTOR),
    )


def test_a_correction_without_a_reason_is_refused(people: People) -> None:
    repair = repair_on_site(people)
    wrong = record(people, repair, THICKNESS)

    with pytest.raises(Refused, match="needs its reason"):
        correct(people, repair.pk, wrong, reason="  ")

    assert Inspection.objects.count() == 1


def test_a_corrected_inspection_is_not_corrected_twice(people: People) -> None:
    repair = repair_on_site(people)
    wrong = record(people, repair, THICKNESS)
    correct(people, repair.pk, wrong, reason="Typed wrong")

    with pytest.raises(Refused, match="has replaced this one"):
        correct(people, repair.pk, wrong, reason="Typed wrong again")


def test_the_same_act_sent_twice_is_recorded_once(people: People) -> None:
    repair = repair_on_site(people)
    observation = Observation(
        readings=READINGS[THICKNESS],
        observed_at=NOON,
        instruments=[instrument(people, "depth_gauge").pk],
    )
    send = partial(
        record_inspection,
        repair_id=repair.pk,
        position=THICKNESS,
        observation=observation,
        actor=people.ines,
        at=NOON,
        act_id=uuid4(),
    )

    first = send()
    second = send()

    assert first.pk == second.pk
    assert Inspection.objects.count() == 1


def test_one_act_id_does_not_serve_two_acts(people: People) -> None:
    repair = repair_on_site(people)
    entry = record(people, repair, AMBIENT)

    with pytest.raises(Refused, match="used for another act"):
        record_inspection(
            repair_id=repair.pk,
            position=THICKNESS,
            observation=Observation(readings=READINGS[THICKNESS], observed_at=NOON),
            actor=people.carl,
            at=NOON,
            act_id=entry.act_id,
        )


def test_work_is_not_recorded_past_an_open_hold(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    record(people, repair, FILLER)
    record(people, repair, THICKNESS)

    with pytest.raises(Refused) as refused:
        record(people, repair, HARDNESS)

    assert [(r.rule, r.step) for r in refused.value.reasons] == [("hold", THICKNESS)]
    close(people, repair, THICKNESS, Manner.RELEASED)
    record(people, repair, HARDNESS)


@pytest.mark.parametrize(
    ("more", "problem"),
    [
        ({"instruments": []}, "name the depth gauge used"),
        ({"instruments": [10_000]}, "not of this project"),
        ({"readings": []}, "enter at least one reading"),
        ({"readings": [{"values": ["five"]}]}, "reading 1.values"),
        ({"readings": [{"colour": "red"}]}, "reading 1.colour"),
        ({"observed_at": NOON + timedelta(minutes=1)}, "later than now"),
    ],
)
def test_an_unusable_observation_is_refused_and_leaves_nothing(
    people: People, more: dict[str, object], problem: str
) -> None:
    repair = repair_on_site(people)
    entries = Entry.objects.filter(kind="repair").count()

    with pytest.raises(Refused, match=problem):
        record(people, repair, THICKNESS, **more)  # type: ignore[arg-type]

    assert Inspection.objects.count() == 0
    assert Entry.objects.filter(kind="repair").count() == entries


def test_an_instrument_of_another_kind_does_not_stand_for_the_one_asked_for(people: People) -> None:
    repair = repair_on_site(people)
    watch = instrument(people, "stopwatch")
    gauge = instrument(people, "depth_gauge")

    with pytest.raises(Refused, match="name the depth gauge used"):
        record(people, repair, THICKNESS, instruments=[watch.pk])

    record(people, repair, THICKNESS, instruments=[watch.pk, gauge.pk])


def test_a_mix_names_its_batch(people: People) -> None:
    with pytest.raises(Refused, match="name the batch used"):
        record(people, repair_on_site(people), FILLER, batches=[])


def test_a_late_entry_is_marked_as_late(people: People) -> None:
    repair = repair_on_site(people)

    record(people, repair, AMBIENT, at=NOON + timedelta(hours=3), observed_at=NOON)
    record(people, repair, THICKNESS, at=NOON + timedelta(minutes=60), observed_at=NOON)

    assert [i.is_late for i in Inspection.objects.all()] == [True, False]


def test_nothing_is_recorded_once_the_inspection_is_signed(people: People) -> None:
    repair = repair_at(people, Status.INSPECTED)

    with pytest.raises(Refused, match="cannot record inspection now"):
        record(people, repair, HARDNESS)
    with pytest.raises(Refused, match="cannot add evidence now"):
        attach(people, repair, THICKNESS, "gauge")


def test_a_correction_takes_away_the_release_that_was_given_for_other_readings(
    people: People,
) -> None:
    repair = repair_on_site(people)
    wrong = record(people, repair, THICKNESS)
    close(people, repair, THICKNESS, Manner.RELEASED)

    correct(people, repair.pk, wrong, reason="Station 2 read twice")

    assert any(not point.closed for point in progress(repair, THICKNESS).points)
