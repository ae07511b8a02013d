"""A reading that is of one kind or another shows the fields of its kind, on a phone."""

from typing import Any

import pytest
from playwright.sync_api import expect

from qc.engine.plan import Party
from qc.records.models import Repair
from qc.records.templates import StepTemplate
from qc.workflow import agree_plan
from tests.factories import act_on, planned_repair
from tests.people import People

pytestmark = pytest.mark.browser

CRITERIA = {"soak_min": "8 s", "layers_min": 4}
WRAP = StepTemplate(
    key="wrap",
    title="Wrap applied",
    activity="Wind it",
    characteristic="wrap",
    sampling="every roll",
    criteria=CRITERIA,
    sources=dict.fromkeys(CRITERIA, "common practice"),
    points={"inspector": "witness"},
)


@pytest.fixture
def repair(people: People) -> Repair:
    """A repair of which only the wrap is checked."""
    repair = planned_repair(people, [WRAP])
    agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    return repair


def test_the_fields_follow_the_part_and_none_that_is_filled_is_hidden(
    repair: Repair, visit: Any
) -> None:
    ines = visit("ines")
    ines.opens(f"/repairs/{repair.pk}/steps/1/")
    soak, layers = (ines.page.locator(f"[name='r1-{name}']") for name in ("soak", "layers"))
    expect(soak).to_be_hidden()

    ines.page.locator("[value='roll']").check(force=True)
    expect(soak).to_be_visible()
    expect(layers).to_be_hidden()

    ines.fills("r1-soak", "9")
    ines.page.locator("[value='wrap']").check(force=True)
    expect(layers).to_be_visible()
    expect(soak).to_be_visible()
