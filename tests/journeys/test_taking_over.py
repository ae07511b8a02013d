"""A contractor takes over offered limits, at a tap and without leaving the page."""

from typing import Any

import pytest

from qc.records.queries import plan_in_force
from tests.factories import planned_repair
from tests.people import People
from tests.web.entering import step_of

pytestmark = pytest.mark.browser


def test_a_tap_writes_the_offer_and_its_source_and_nothing_else(people: People, visit: Any) -> None:
    salts = step_of("salts", criteria={"readings_min": "1"})
    repair = planned_repair(people, [salts])
    carl = visit("carl")
    carl.opens(f"/repairs/{repair.pk}/plan/steps/1/")
    page = carl.page
    page.fill("[name=reason]", "offered")
    page.click("button[name=take][value=blank_max]")
    assert page.input_value("[name=c-blank_max]") == "5"
    assert page.input_value("[name=s-blank_max]") == "SSPC Guide 15, excerpt read"
    assert page.input_value("[name=c-max]") == ""
    assert page.input_value("[name=reason]") == "offered"
    carl.sees("Filled in, not yet saved")
    carl.presses("Change the limits")
    carl.sees("The limits of step 1 are changed")
    step = plan_in_force(repair).steps.get(position=1)
    assert step.criteria["blank_max"] == "5 uS/cm"


def test_enter_in_a_field_saves_and_takes_nothing_over(people: People, visit: Any) -> None:
    repair = planned_repair(people, [step_of("salts", criteria={"readings_min": "1"})])
    carl = visit("carl")
    carl.opens(f"/repairs/{repair.pk}/plan/steps/1/")
    page = carl.page
    page.fill("[name=reason]", "another number")
    page.fill("[name=c-readings_min]", "4")
    page.press("[name=c-readings_min]", "Enter")
    carl.sees("The limits of step 1 are changed")
    assert plan_in_force(repair).steps.get(position=1).criteria == {"readings_min": "4"}


def test_no_page_of_limits_or_declarations_is_wider_than_a_small_phone(
    people: People, visit: Any
) -> None:
    repair = planned_repair(people, [step_of("salts", criteria={"readings_min": "1"})])
    carl = visit("carl", {"width": 320, "height": 640})
    wide = {}
    for path in (
        f"/repairs/{repair.pk}/plan/steps/1/",
        "/about/characteristics/",
        "/about/characteristics/cleanliness/",
        "/about/characteristics/wrap/",
    ):
        carl.opens(path)
        carl.unfolds_everything()
        wide[path] = carl.width_scrolled()
    assert {path: by for path, by in wide.items() if by > 0} == {}
