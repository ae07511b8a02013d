"""Closing intervention points: by whom, how, and on what."""

import pytest

from qc.engine.lifecycle import Refused
from qc.engine.plan import Party
from qc.records.models import PointClosure
from qc.records.progress import progress_of
from qc.workflow import Manner, close_point
from tests.factories import (
    AMBIENT,
    FILLER,
    HARDNESS,
    THICKNESS,
    act_on,
    close,
    record,
    repair_on_site,
)
from tests.people import People


def test_a_hold_is_released_on_a_conforming_verdict(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS)

    close(people, repair, THICKNESS, Manner.RELEASED, note="Seen on site")

    closure = PointClosure.objects.get()
    assert (closure.manner, closure.closed_by_name) == ("released", "Clara Kestle")
    assert all(point.closed for point in progress_of(repair)[THICKNESS - 1].points)


@pytest.mark.parametrize(
    ("position", "manner", "note", "problem"),
    [
        (THICKNESS, Manner.RELEASED, "", "no conforming verdict"),
        (THICKNESS, Manner.WAIVED, "cannot come", "a hold point is not waived"),
        (THICKNESS, Manner.ATTENDED, "", "a hold point is not attended"),
        (HARDNESS, Manner.REVIEWED, "", "no conforming verdict"),
        (AMBIENT, Manner.REVIEWED, "", "a surveillance point is not reviewed"),
        (FILLER, Manner.RELEASED, "", "the client has no point here"),
        (99, Manner.RELEASED, "", "The plan has no step 99"),
    ],
)
def test_a_point_is_not_closed_out_of_turn(
    people: People, position: int, manner: Manner, note: str, problem: str
) -> None:
    repair = repair_on_site(people)

    with pytest.raises(Refused, match=problem):
        close(people, repair, position, manner, note)

    assert not PointClosure.objects.exists()


def test_a_point_is_closed_once(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS)
    close(people, repair, THICKNESS, Manner.RELEASED)

    with pytest.raises(Refused, match="closed already"):
        close(people, repair, THICKNESS, Manner.RELEASED)


@pytest.mark.parametrize("party", [Party.INSPECTOR, Party.CONTRACTOR])
def test_a_hold_is_not_released_by_another_party(people: People, party: Party) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS)

    with pytest.raises(Refused, match=f"the {party} has no point here"):
        close_point(
            repair_id=repair.pk,
            position=THICKNESS,
            manner=Manner.RELEASED,
            note="",
            **act_on(people, party),
        )


def test_a_failing_reading_after_the_release_opens_the_hold_again(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS)
    close(people, repair, THICKNESS, Manner.RELEASED)
    record(people, repair, THICKNESS, [{"values": ["4 mm"]}])

    record(people, repair, THICKNESS, rework="Built up")

    assert [point.closed for point in progress_of(repair)[THICKNESS - 1].points] == [False]
