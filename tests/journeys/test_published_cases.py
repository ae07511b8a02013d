"""Published cases, typed into the pages as an inspector would, come out as published."""

from typing import Any

import pytest

from qc.engine.plan import Party
from qc.records.models import Repair
from qc.records.templates import StepTemplate
from qc.workflow import agree_plan
from tests.factories import act_on, instrument, planned_repair
from tests.people import People

pytestmark = pytest.mark.browser

STEPS = (
    StepTemplate(
        key="ambient",
        title="Ambient conditions",
        activity="Check air and steel",
        characteristic="ambient",
        sampling="before work",
        criteria={"margin_min": "3 delta_degC", "humidity_max": "85 %"},
        sources={"margin_min": "common practice", "humidity_max": "common practice"},
        instrument_kinds=("hygrometer",),
    ),
    StepTemplate(
        key="coating",
        title="Dry film thickness",
        activity="Measure the coating",
        characteristic="thickness",
        sampling="five spots of three readings",
        criteria={"rule": "pa2", "min": "8 mil", "max": "12 mil", "level": "3"},
        sources=dict.fromkeys(("rule", "min", "max", "level"), "SSPC-PA 2"),
        rows=5,
        instrument_kinds=("thickness_gauge",),
    ),
)
AMBIENT, COATING = 1, 2


@pytest.fixture
def repair(people: People) -> Repair:
    """A repair on site that checks air, steel and coating."""
    made = planned_repair(people, STEPS)
    agree_plan(repair_id=made.pk, **act_on(people, Party.CLIENT))
    instrument(people, "hygrometer", identifier="H-07")
    instrument(people, "thickness_gauge", identifier="T-11")
    return made


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        # A paint maker's technical guide: 21 degC, wet bulb 17 degC, steel 19 degC; dew point 15,
        # difference 4, acceptable. The pressure is not printed; standard pressure is taken.
        (
            {"air": "21", "wet_bulb": "17", "pressure": "1013,25", "steel_0": "19"},
            ("Conforms", "4.4"),
        ),
        # The same guide: 16 degC, 71 %, steel 13 degC; dew point 11, do not paint.
        ({"air": "16", "humidity": "71", "steel_0": "13"}, ("Does not conform", "2.3")),
        # Calculated: 21.3 and 3.0 is what rounding first would show.
        ({"air": "25", "humidity": "80", "steel_0": "24.3"}, ("Does not conform", "2.99")),
    ],
)
def test_a_published_dew_point_case_is_judged_as_published(
    repair: Repair, visit: Any, typed: dict[str, str], words: tuple[str, ...]
) -> None:
    ines = visit("ines")
    ines.opens(f"/repairs/{repair.pk}/steps/{AMBIENT}/")
    ines.unfolds_everything()
    for name, text in typed.items():
        ines.fills(f"r1-{name}", text)
    ines.ticks("H-07")

    ines.presses("Record and judge")

    assert ines.reads_verdict().startswith(f"Verdict {words[0]}")
    assert words[1] in ines.reads_verdict()


def test_the_published_coating_example_keeps_to_its_spot_limits(repair: Repair, visit: Any) -> None:
    # SSPC-PA 2, published example: 8 to 12 mil, so spots from 6.4 to 14.4 mil.
    spots = (
        ("6.1", "6.5", "6.6"),
        ("9", "9.4", "9.2"),
        ("10", "10.3", "9.9"),
        ("14", "14.6", "14.5"),
        ("8.2", "8.4", "8.0"),
    )
    ines = visit("ines")
    ines.opens(f"/repairs/{repair.pk}/steps/{COATING}/")
    for number, spot in enumerate(spots, start=1):
        for place, text in enumerate(spot):
            ines.fills(f"r{number}-values_{place}", text)
    ines.ticks("T-11")

    ines.presses("Record and judge")

    verdict = ines.reads_verdict()
    assert verdict.startswith("Verdict Conforms")
    assert "at least 6.4 mil" in verdict
    assert "at most 14.4 mil" in verdict
