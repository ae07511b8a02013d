"""A contractor takes over offered limits, at a tap and without leaving the page."""

from typing import Any

import pytest

from qc.records.models import Repair
from qc.workflow.plan_markup import steps_marked_up
from tests.factories import planned_repair
from tests.people import People
from tests.web.entering import step_of

pytestmark = pytest.mark.browser


def limits_of(repair: Repair) -> str:
    """The page of the limits of the only step."""
    key = steps_marked_up(repair)[0].key
    return f"/repairs/{repair.pk}/plan/edit/steps/{key}/limits/"


def test_a_tap_writes_the_offer_and_its_source_and_nothing_else(people: People, visit: Any) -> None:
    salts = step_of("salts", criteria={"readings_min": "1"})
    repair = planned_repair(people, [salts])
    carl = visit("carl")
    carl.opens(limits_of(repair))
    page = carl.page
    page.click("button[name=take][value=blank_max]")
    assert page.input_value("[name=c-blank_max]") == "5"
    assert page.input_value("[name=s-blank_max]") == "SSPC Guide 15, excerpt read"
    assert page.input_value("[name=c-max]") == ""
    carl.sees("Filled in, not yet saved")
    carl.presses("Change the limits")
    carl.sees("are marked up")
    step = steps_marked_up(repair)[0]
    assert step.criteria["blank_max"] == "5 uS/cm"


def test_enter_in_a_field_saves_and_takes_nothing_over(people: People, visit: Any) -> None:
    repair = planned_repair(people, [step_of("salts", criteria={"readings_min": "1"})])
    carl = visit("carl")
    carl.opens(limits_of(repair))
    page = carl.page
    page.fill("[name=c-readings_min]", "4")
    page.press("[name=c-readings_min]", "Enter")
    carl.sees("are marked up")
    assert steps_marked_up(repair)[0].criteria == {"readings_min": "4"}


def test_no_page_of_limits_or_declarations_is_wider_than_a_small_phone(
    people: People, visit: Any
) -> None:
    repair = planned_repair(people, [step_of("salts", criteria={"readings_min": "1"})])
    carl = visit("carl", {"width": 320, "height": 640})
    wide = {}
    for path in (
        limits_of(repair),
        "/about/characteristics/",
        "/about/characteristics/cleanliness/",
        "/about/characteristics/wrap/",
    ):
        carl.opens(path)
        carl.unfolds_everything()
        wide[path] = carl.width_scrolled()
    assert {path: by for path, by in wide.items() if by > 0} == {}
