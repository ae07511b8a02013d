"""A plan is revised on site: judged as it is typed, read by its differences, and agreed."""

from typing import Any

import pytest

from qc.records.queries import plan_in_force
from tests.factories import THICKNESS, record, repair_on_site
from tests.people import People

pytestmark = pytest.mark.browser


def test_a_limit_is_judged_as_it_is_left_and_the_client_agrees_what_changed(
    people: People, visit: Any
) -> None:
    repair = repair_on_site(people)
    record(people, repair, 1)
    carl, clara = visit("carl"), visit("clara")
    carl.opens(f"/repairs/{repair.pk}/plan/edit/steps/thickness/limits/")
    carl.page.fill("[name=c-min]", "five")
    carl.page.press("[name=c-min]", "Tab")
    carl.sees("five is not a number")
    carl.page.fill("[name=c-min]", "4,5")
    carl.presses("Change the limits")
    carl.sees("The limits of Filler thickness are marked up")
    carl.page.fill("[name=reason]", "Design changed")
    carl.presses("Put it forward")
    carl.sees("Revision 3 waits for the client")
    clara.opens(f"/repairs/{repair.pk}/plan/")
    clara.page.click("text=See what revision 3 changes")
    clara.sees("5 mm (common practice) became 4.5 mm (common practice)")
    clara.presses("Agree revision 3 of this plan")
    clara.sees("The plan is agreed")
    assert plan_in_force(repair).steps.get(position=THICKNESS).since == 3
