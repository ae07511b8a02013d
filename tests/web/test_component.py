"""The page of a component, and what other pages say of its history."""

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from qc.accounts.models import User
from qc.records.models import Asset, Certificate, Repair
from tests.factories import NOON, planned_repair
from tests.people import People
from tests.web.visitor import signed_in, text_of

HERE: dict[str, Any] = {
    "defect_distance": "2.4 m",
    "defect_position": "from flange F3",
    "defect_length": "70 mm",
}
BESIDE: dict[str, Any] = {"defect_distance": "2.43 m", "defect_position": "from flange F3"}
ELSEWHERE: dict[str, Any] = {"defect_distance": "9 m", "defect_position": "from flange F3"}


def component(user: User) -> Any:
    return signed_in(user).get(f"/components/{Asset.objects.get().pk}/")


def numbers(page: Any) -> list[str]:
    return [row["cells"][0]["text"].split()[0] for row in page.context["rows"]]


def certified(repair: Repair) -> None:
    Certificate.objects.create(
        repair=repair,
        number=f"QR-{repair.number}",
        issued_at=NOON.replace(hour=23, minute=30),
        snapshot="{}",
        snapshot_digest="0" * 64,
        pdf_digest="0" * 64,
    )


def test_a_component_shows_its_facts_and_every_repair_the_latest_first(people: People) -> None:
    first = planned_repair(
        people,
        number="R-1",
        line="6-CW-1180",
        design_pressure="10 bar",
        next_inspection=date(2028, 5, 31),
        **HERE,
    )
    planned_repair(people, number="R-2", **ELSEWHERE)
    certified(first)

    page = component(people.clara)

    assert numbers(page) == ["R-2", "R-1"]
    words = text_of(page)
    for said in (
        "6-CW-118",
        "6-CW-1180",
        "168.3 mm",
        "10 bar",
        "2.4 m from flange F3",
        "Released 13 May 2026",
        "QR-R-1",
        "by 31 May 2028",
        "does not design the repair",
    ):
        assert said in words
    assert "at the same position" not in words


def test_a_repair_at_the_place_of_an_earlier_one_is_pointed_out(people: People) -> None:
    planned_repair(people, number="R-1", **HERE)
    later = planned_repair(people, number="R-2", **BESIDE)

    words = text_of(component(people.ines))
    assert "R-2 may lie where R-1 does: 2.4 m from flange F3." in words

    repair = text_of(signed_in(people.ines).get(f"/repairs/{later.pk}/"))
    assert "Another repair at the same position" in repair
    assert "1 other repair on this component" in repair


@pytest.mark.parametrize(("who", "starts"), [("carl", True), ("ines", False), ("clara", False)])
def test_only_the_contractor_is_offered_to_start_a_repair(
    people: People, who: str, starts: bool
) -> None:
    planned_repair(people)
    page = component(getattr(people, who)).content.decode()
    assert ("Start a repair on this component" in page) is starts


def test_the_queries_do_not_grow_with_the_repairs(people: People) -> None:
    client, counts = signed_in(people.clara), []
    for number in range(1, 6):
        repair = planned_repair(people, number=f"R-{number}", **HERE)
        certified(repair)
        if number in (2, 5):
            for address in (f"/components/{repair.asset_id}/", f"/repairs/{repair.pk}/"):
                with CaptureQueriesContext(connection) as captured:
                    assert client.get(address).status_code == 200
                counts.append(len(captured))
    assert counts[:2] == counts[2:]
