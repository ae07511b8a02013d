"""Who did the work holds what the step asks for, on the day of the step at the site."""

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from qc.engine.lifecycle import Refused
from qc.engine.plan import Party
from qc.records.models import Qualification, QualificationUse, Repair
from qc.workflow import add_qualification
from tests.factories import FILLER, NOON, SHORT_PLAN, act_on, record, repair_on_site
from tests.people import People
from tests.workflow.doubting import doubts

DAY = NOON.date()


def site(people: People, **asked: list[str]) -> Repair:
    """A repair whose filler step asks for qualified people."""
    steps = [
        replace(step, qualifications=asked) if step.key == "mixing" else step for step in SHORT_PLAN
    ]
    return repair_on_site(people, steps)


def qualified(people: People, trade: str = "applicator", **more: Any) -> int:
    said = {
        "holder": "Tomas Reed",
        "scopes": ["Filler"],
        "certificate": "Q-1",
        "valid_from": date(2025, 1, 1),
        "valid_until": date(2026, 12, 31),
        **more,
    }
    entry = add_qualification(
        project_id=people.project.pk, trade=trade, **said, **act_on(people, Party.CONTRACTOR)
    )
    return int(entry.stated(Qualification)[0]["id"])


def statements(repair: Repair) -> list[str]:
    return [doubt.statement for doubt in doubts(repair, FILLER, NOON)]


def test_a_step_that_asks_for_nobody_doubts_nobody(people: People) -> None:
    repair = site(people)
    record(people, repair, FILLER)

    assert statements(repair) == []


def test_an_applicator_who_holds_the_scope_is_named_with_the_inspection(people: People) -> None:
    repair, one = site(people, applicator=["filler"]), qualified(people)
    entry = record(people, repair, FILLER, applicators=[one])

    assert statements(repair) == []
    assert entry.stated(QualificationUse)[0]["qualification_id"] == one


def test_with_nobody_named_the_scope_is_not_held(people: People) -> None:
    repair = site(people, applicator=["filler"])
    record(people, repair, FILLER)

    assert statements(repair) == [
        'no applicator named holds a qualification for "filler" on 2026-05-12'
    ]


@pytest.mark.parametrize(
    ("more", "held"),
    [
        ({"valid_until": DAY}, True),
        ({"valid_until": date(2026, 5, 11)}, False),
        ({"valid_from": DAY}, True),
        ({"valid_from": date(2026, 5, 13)}, False),
        ({"scopes": ["Wrap"]}, False),
        ({"scopes": ["Wrap", "filler"]}, True),
    ],
)
def test_it_covers_the_scope_from_its_first_through_its_last_day(
    people: People, more: dict[str, Any], held: bool
) -> None:
    repair, one = site(people, applicator=["filler"]), qualified(people, **more)
    record(people, repair, FILLER, applicators=[one])

    assert (statements(repair) == []) is held


def test_the_day_is_that_of_the_site(people: People) -> None:
    """Half past eleven at night in UTC is the next day in Dublin in summer."""
    night = datetime(2026, 5, 11, 23, 30, tzinfo=UTC)
    repair, one = site(people, applicator=["filler"]), qualified(people, valid_from=DAY)
    record(people, repair, FILLER, observed_at=night, applicators=[one])

    assert statements(repair) == []


def test_several_people_hold_several_scopes_together(people: People) -> None:
    repair = site(people, applicator=["filler", "confined space"])
    both = [qualified(people), qualified(people, holder="Ada Moss", scopes=["confined space"])]
    record(people, repair, FILLER, applicators=both[:1])
    assert len(statements(repair)) == 1

    repair = site_again(people)
    record(people, repair, FILLER, applicators=both)
    assert statements(repair) == []


def site_again(people: People) -> Repair:
    steps = [
        replace(step, qualifications={"applicator": ["filler", "confined space"]})
        if step.key == "mixing"
        else step
        for step in SHORT_PLAN
    ]
    return repair_on_site(people, steps, number="R-015")


def test_the_inspectors_own_qualification_is_found_by_their_account(people: People) -> None:
    repair = site(people, inspector=["coating inspector 2"])
    record(people, repair, FILLER)
    assert statements(repair) == [
        'Ines Dunmore does not hold a qualification for "coating inspector 2" on 2026-05-12'
    ]

    scopes = ["Coating inspector 2"]
    qualified(people, "inspector", holder="Ines Dunmore", user_id=people.ines.pk, scopes=scopes)
    assert statements(repair) == []


def test_the_qualification_of_an_inspector_is_kept_with_what_they_record(people: People) -> None:
    own = qualified(people, "inspector", user_id=people.ines.pk, scopes=["level 2"])
    qualified(people, "inspector", user_id=people.ines.pk, valid_until=date(2026, 5, 11))
    record(people, site(people, inspector=["level 2"]), FILLER)

    assert [use.qualification_id for use in QualificationUse.objects.all()] == [own]


def test_an_applicators_certificate_does_not_make_an_inspector(people: People) -> None:
    repair, one = site(people, inspector=["filler"]), qualified(people)
    record(people, repair, FILLER, applicators=[one])

    assert len(statements(repair)) == 1


@pytest.mark.parametrize("trade", ["inspector", "elsewhere"])
def test_only_applicators_of_the_project_are_named(people: People, trade: str) -> None:
    one = qualified(people, trade) if trade == "inspector" else 10_000

    with pytest.raises(Refused, match="an applicator is not of this project"):
        record(people, site(people, applicator=["filler"]), FILLER, applicators=[one])
