"""The page that sets the next inspection, and the list of those that are due."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from qc.accounts.models import User
from qc.engine.lifecycle import Status
from qc.records.models import InspectionDue, Repair
from tests.factories import planned_repair, repair_on_site
from tests.people import People
from tests.web.visitor import enter, signed_in, text_of

SOON = (timezone.now() + timedelta(days=400)).date()


def address(repair: Repair) -> str:
    return f"/repairs/{repair.pk}/next-inspection/"


def due(user: User) -> list[dict[str, Any]]:
    (group,) = signed_in(user).get("/").context["projects"]
    return list(group["due"])


def released(people: People, number: str, days: int) -> Repair:
    """A repair taken for released, to be inspected so many days from now."""
    repair = planned_repair(people, number=number, asset_tag=number)
    repair.status = Status.RELEASED
    repair.next_inspection = timezone.now().date() + timedelta(days=days)
    repair.save()
    return repair


def test_the_client_sets_the_day_and_why(people: People) -> None:
    repair = repair_on_site(people)

    page = enter(
        signed_in(people.clara), address(repair), due_on=SOON.isoformat(), reason="Owner's plan"
    )

    assert page.redirect_chain == [(f"/repairs/{repair.pk}/", 302)]
    repair.refresh_from_db()
    assert repair.next_inspection == SOON
    again = text_of(signed_in(people.clara).get(address(repair)))
    assert "Clara Kestle" in again
    assert "Owner's plan" in again


def test_that_there_is_no_more_is_said_by_a_tick(people: People) -> None:
    repair = repair_on_site(people)
    enter(signed_in(people.clara), address(repair), no_more="on", reason="Spool replaced")
    assert InspectionDue.objects.get().due_on is None


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"due_on": "tomorrow", "reason": "x"}, "tomorrow is not a day: type it as 2026-05-12."),
        ({"reason": "x"}, "Give the day, or say below that there is no more."),
        ({"due_on": SOON.isoformat(), "no_more": "on", "reason": "x"}, "not both"),
        ({"due_on": SOON.isoformat()}, "Say why"),
        ({"due_on": "2020-01-01", "reason": "x"}, "2020-01-01 is past"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(
    people: People, typed: dict[str, str], words: str
) -> None:
    repair = repair_on_site(people)
    page = enter(signed_in(people.clara), address(repair), **typed)
    assert words in text_of(page)
    assert not InspectionDue.objects.exists()


@pytest.mark.parametrize("who", ["ines", "carl"])
def test_the_others_are_told_who_sets_it(people: People, who: str) -> None:
    repair = repair_on_site(people)
    page = signed_in(getattr(people, who)).get(address(repair))
    assert page.status_code == 409
    assert "the client can" in text_of(page)
    there = text_of(signed_in(getattr(people, who)).get(f"/repairs/{repair.pk}/"))
    assert "Set the next inspection" not in there


@pytest.mark.parametrize("who", ["carl", "clara"])
def test_inspections_within_sixty_days_and_overdue_ones_stand_on_the_home_page(
    people: People, who: str
) -> None:
    for number, days in (("R-1", 58), ("R-2", -3), ("R-3", 63)):
        released(people, number, days)
    planned_repair(people, number="R-4", asset_tag="R-4", next_inspection=SOON)

    cards = due(getattr(people, who))

    assert [card["title"].split()[0] for card in cards] == ["R-2", "R-1"]
    assert [card["word"] for card in cards] == ["Overdue", "Due"]
    assert "ago" in cards[0]["say"]


def test_the_inspector_is_not_asked_to_plan_the_next_inspection(people: People) -> None:
    released(people, "R-1", -3)
    assert due(people.ines) == []
