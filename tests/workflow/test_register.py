"""The project's register of instruments and batches."""

from datetime import date

import pytest

from qc.accounts.access import NotAMember
from qc.engine.lifecycle import Refused
from qc.records.models import Batch, Calibration
from qc.workflow import add_batch, add_calibration, add_instrument
from tests.factories import NOON, batch, instrument
from tests.people import People


def test_an_instrument_is_in_calibration_from_its_first_day_through_its_due_day(
    people: People,
) -> None:
    gauge = instrument(people, "profile_gauge", due_on=date(2026, 5, 31))

    covered = [
        gauge.calibration_on(day) is not None
        for day in (date(2025, 5, 30), date(2025, 5, 31), date(2026, 5, 31), date(2026, 6, 1))
    ]
    assert covered == [False, True, True, False]


def test_a_later_calibration_does_not_cover_the_gap_before_it(people: People) -> None:
    gauge = instrument(people, "profile_gauge", due_on=date(2025, 5, 31))
    calibrate(people, gauge.pk, date(2026, 5, 1), date(2027, 5, 1))

    assert gauge.calibration_on(date(2026, 4, 30)) is None
    assert gauge.calibration_on(date(2026, 5, 1)) is not None


def calibrate(people: People, instrument_id: int, first: date, due: date) -> Calibration:
    return add_calibration(
        project_id=people.project.pk,
        instrument_id=instrument_id,
        certificate="C-9",
        calibrated_on=first,
        due_on=due,
        actor=people.carl,
        at=NOON,
    )


@pytest.mark.parametrize(
    ("first", "due", "problem"),
    [
        (date(2026, 5, 1), date(2026, 4, 1), "before it was made"),
        (date(2026, 5, 13), date(2027, 5, 13), "lies ahead"),
    ],
)
def test_an_impossible_calibration_is_refused(
    people: People, first: date, due: date, problem: str
) -> None:
    gauge = instrument(people, "profile_gauge")

    with pytest.raises(Refused, match=problem):
        calibrate(people, gauge.pk, first, due)


def test_an_instrument_of_another_project_is_not_calibrated_here(people: People) -> None:
    with pytest.raises(Refused, match="not of this project"):
        calibrate(people, 10_000, date(2026, 5, 1), date(2027, 5, 1))


def test_an_identifier_and_a_batch_are_entered_once(people: People) -> None:
    instrument(people, "hygrometer", identifier="H-07")
    made = batch(people)

    with pytest.raises(Refused, match="H-07 is taken"):
        instrument(people, "hygrometer", identifier="H-07")
    with pytest.raises(Refused, match="in the register already"):
        add_batch(
            project_id=people.project.pk,
            product=made.product,
            part="",
            number=made.number,
            expiry=None,
            actor=people.ines,
        )
    assert Batch.objects.count() == 1


def test_the_client_does_not_keep_the_register(people: People) -> None:
    with pytest.raises(Refused, match="contractor and inspector do"):
        add_instrument(
            project_id=people.project.pk,
            identifier="X",
            kind="hygrometer",
            description="",
            actor=people.clara,
        )


def test_an_outsider_finds_no_register(people: People) -> None:
    with pytest.raises(NotAMember):
        add_instrument(
            project_id=people.project.pk,
            identifier="X",
            kind="hygrometer",
            description="",
            actor=people.olu,
        )
