"""The plan of a repair as a document, and the client agreeing it."""

from dataclasses import replace
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.records.models import Repair
from qc.records.queries import plan_in_force
from qc.records.templates import plan_templates
from qc.workflow import revise_plan
from tests.factories import SHORT_PLAN, THICKNESS, act_on, planned_repair, repair_on_site
from tests.people import People
from tests.web.visitor import sent, signed_in, text_of


def read(people: People, who: str, repair: Repair) -> Any:
    """The page of the plan as one of the cast sees it."""
    return signed_in(getattr(people, who)).get(f"/repairs/{repair.pk}/plan/")


@pytest.mark.parametrize("who", ["ines", "carl", "clara"])
def test_every_party_reads_what_is_asked_at_each_step(people: People, who: str) -> None:
    words = text_of(read(people, who, planned_repair(people)))
    for said in (
        "1 Ambient conditions",
        "Least margin of the steel above the dew point: 3 °C Source: common practice",
        "Highest relative humidity: 85 %",
        "eight stations",
        "With: depth gauge",
        "With: batch of the material",
        "Photograph of the gauge",
        "H Hold",
        "R Review",
        "S Surveillance",
    ):
        assert said in words


@pytest.mark.parametrize("template", sorted(plan_templates()))
def test_every_shipped_plan_can_be_read_with_its_sources(people: People, template: str) -> None:
    made = plan_templates()[template]
    words = text_of(read(people, "carl", planned_repair(people, made.steps)))
    for step in made.steps:
        assert step.title in words
        assert all(source in words for source in step.sources.values())
        assert all(item["label"] in words for item in step.evidence)
    assert all(caution in words for caution in plan_templates()["composite_wrap"].cautions)


def test_a_checklist_is_printed_line_by_line(people: People) -> None:
    steps = plan_templates()["composite_wrap"].steps
    words = text_of(read(people, "carl", planned_repair(people, steps)))
    assert "Seal material: fit for the fluid and the temperature" in words
    assert "over the leak, Minimum thickness: 10 mm" in words


def test_the_page_names_revision_reason_and_who_drafted(people: People) -> None:
    words = text_of(read(people, "clara", planned_repair(people)))
    assert "revision 2" in words
    assert "cut to the job" in words
    assert "Carl Vale, 12 May 2026 12:00" in words
    assert "nobody yet: the client agrees the plan" in words


def test_a_revision_says_what_it_changed(people: People) -> None:
    repair = planned_repair(people)
    thinner = replace(
        SHORT_PLAN[THICKNESS - 1],
        criteria={"rule": "minimum", "min": "4 mm", "max": "9 mm"},
        sources={"rule": "common practice", "min": "design DN-7", "max": "design DN-7"},
    )
    steps = (*SHORT_PLAN[:2], thinner, *SHORT_PLAN[3:])
    act = act_on(people, Party.CONTRACTOR)
    revise_plan(repair_id=repair.pk, steps=steps, reason="design changed", **act)
    words = text_of(read(people, "clara", repair))
    assert "3 Filler thickness: Minimum thickness" in words
    assert "5 mm (common practice) became 4 mm (design DN-7)" in words
    assert "3 Filler thickness: Maximum thickness" in words
    assert "no limit became 9 mm (design DN-7)" in words
    assert "1 Ambient conditions: " not in words


def test_only_the_contractor_is_offered_to_mark_the_plan_up(people: People) -> None:
    for repair in (planned_repair(people, number="R-1"), repair_on_site(people)):
        assert "Mark up this plan" in text_of(read(people, "carl", repair))
        assert "Mark up this plan" not in text_of(read(people, "ines", repair))
        assert "Mark up this plan" not in text_of(read(people, "clara", repair))


def agree(people: People, who: str, repair: Repair, **data: Any) -> Any:
    """One of the cast presses the button that agrees the plan."""
    sent_along = {"act_id": str(uuid4()), "seen_revision": plan_in_force(repair).revision} | data
    client = signed_in(getattr(people, who))
    return client.post(f"/repairs/{repair.pk}/plan/agree/", sent_along)


def test_the_client_agrees_with_the_button_on_the_page(people: People) -> None:
    repair = planned_repair(people)
    page = read(people, "clara", repair)
    assert "Agree revision 2 of this plan" in text_of(page)
    agree(people, "clara", repair, **sent(page.context["form"]))
    repair.refresh_from_db()
    assert repair.stands_at is Status.ON_SITE
    words = text_of(read(people, "clara", repair))
    assert "Clara Kestle (client), " in words
    assert "of this plan" not in words


def test_pressed_twice_the_plan_is_agreed_once(people: People) -> None:
    repair, act_id = planned_repair(people), str(uuid4())
    first, second = (agree(people, "clara", repair, act_id=act_id) for _ in range(2))
    assert (first.status_code, second.status_code) == (302, 302)


def test_a_plan_revised_meanwhile_is_read_again_before_it_is_agreed(people: People) -> None:
    repair = planned_repair(people)
    read_before = sent(read(people, "clara", repair).context["form"])
    act = act_on(people, Party.CONTRACTOR)
    revise_plan(repair_id=repair.pk, steps=SHORT_PLAN[:2], reason="shorter", **act)
    page = agree(people, "clara", repair, **read_before)
    assert page.status_code == 409
    assert "revised since you opened it: read revision 3" in text_of(page)
    repair.refresh_from_db()
    assert repair.stands_at is Status.PLANNED
    agree(people, "clara", repair, **sent(page.context["form"]))
    repair.refresh_from_db()
    assert repair.stands_at is Status.ON_SITE


@pytest.mark.parametrize("who", ["ines", "carl"])
def test_the_others_have_no_button_and_are_refused_with_the_reason(
    people: People, who: str
) -> None:
    repair = planned_repair(people)
    assert "of this plan" not in text_of(read(people, who, repair))
    page = agree(people, who, repair)
    assert page.status_code == 409
    assert "cannot agree plan; the client can." in text_of(page)
    repair.refresh_from_db()
    assert repair.stands_at is Status.PLANNED


def test_an_agreed_plan_is_not_agreed_again(people: People) -> None:
    page = agree(people, "clara", repair_on_site(people))
    assert page.status_code == 409
    assert "The plan in force is agreed already." in text_of(page)


def test_agreeing_is_never_done_by_following_a_link(people: People) -> None:
    repair = planned_repair(people)
    client = signed_in(people.clara)
    assert client.get(f"/repairs/{repair.pk}/plan/agree/").status_code == 405


def test_a_form_without_its_number_is_told_to_reload(people: People) -> None:
    repair = planned_repair(people)
    page = signed_in(people.clara).post(f"/repairs/{repair.pk}/plan/agree/", {})
    assert "The form has lost its number: open the page again." in text_of(page)


def test_a_long_plan_takes_no_more_queries_than_a_short_one(people: People) -> None:
    short = planned_repair(people, SHORT_PLAN[:1], number="R-1")
    long = planned_repair(people, plan_templates()["composite_wrap"].steps, number="R-2")
    client = signed_in(people.clara)
    counts = []
    for repair in (short, long):
        with CaptureQueriesContext(connection) as queries:
            client.get(f"/repairs/{repair.pk}/plan/")
        counts.append(len(queries))
    assert counts[0] == counts[1]
