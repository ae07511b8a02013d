"""What goes wrong on real repairs: a failing profile, an absent witness, a mistyped reading."""

import io
from datetime import datetime, timedelta
from typing import Any

import pypdf
import pytest
from django.utils import timezone

from qc.ledger.rows import Scope
from qc.records.models import Nonconformance, Repair
from qc.records.templates import StepTemplate
from qc.workflow.verification import verify
from tests.factories import instrument, planned_repair
from tests.journeys.conftest import DESK
from tests.journeys.person import Person
from tests.journeys.test_bare_metal_to_certificate import signs
from tests.people import People

pytestmark = pytest.mark.browser

PROFILE, HARDNESS = 1, 2
STEPS = (
    StepTemplate(
        key="profile",
        title="Surface profile",
        activity="Read the profile of the blasted steel",
        characteristic="profile",
        sampling="one location",
        criteria={"min": "50 um", "max": "100 um", "method": "depth_micrometer"},
        sources={"min": "data sheet", "max": "data sheet", "method": "specification"},
        instrument_kinds=("profile_gauge",),
        points={"inspector": "hold", "contractor": "surveillance"},
    ),
    StepTemplate(
        key="hardness",
        title="Hardness",
        activity="Read the hardness of the cured wrap",
        characteristic="hardness",
        sampling="five readings",
        criteria={"scale": "Shore D", "min": "75", "readings_min": "5"},
        sources={name: "common practice" for name in ("scale", "min", "readings_min")},
        instrument_kinds=("durometer",),
        points={"inspector": "hold", "contractor": "surveillance", "client": "witness"},
    ),
)
TERMS = {
    "witness": {
        "code": "W",
        "wording": "Witness point: the party is told and may come",
        "needs_notice": True,
        "notice": "1 hour",
        "lapses": True,
        "source": "the contract",
    }
}


@pytest.fixture
def repair(people: People) -> Repair:
    """A drafted plan of two steps, and what they are measured with."""
    instrument(people, "profile_gauge", identifier="P-02")
    instrument(people, "durometer", identifier="S-03")
    return planned_repair(people, STEPS, terms=TERMS)


def page_of(repair: Repair, path: str = "") -> str:
    return f"/repairs/{repair.pk}/{path}"


def records(ines: Person, repair: Repair, position: int, tick: str, *values: str) -> str:
    ines.opens(page_of(repair, f"steps/{position}/"))
    ines.unfolds_everything()
    for place, text in enumerate(values):
        ines.fills(f"r1-values_{place}", text)
    ines.ticks(tick)
    ines.presses("Record and judge")
    return ines.reads_verdict()


def the_plan_is_marked_up_and_agreed(carl: Person, clara: Person, repair: Repair) -> None:
    carl.opens(page_of(repair, "plan/edit/steps/profile/limits/"))
    carl.fills("c-max", "90")
    carl.presses("Change the limits")
    carl.fills("reason", "Data sheet of the wrap, 90 µm at most")
    carl.presses("Put it forward")
    clara.opens(page_of(repair, "plan/"))
    clara.sees("90 µm")
    clara.presses("Agree")


def a_failing_profile_is_reworked(
    ines: Person, carl: Person, clara: Person, repair: Repair
) -> None:
    assert records(ines, repair, PROFILE, "P-02", "38", "41", "36").startswith(
        "Verdict Does not conform"
    )
    report = page_of(repair, "reports/1/")
    carl.opens(report)
    carl.says_and_presses("Blasting goes on, nothing is coated", "Contain it")
    carl.ticks("Rework")
    carl.says_and_presses("Blast again with coarser grit", "Propose")
    clara.opens(report)
    clara.presses("Approve")
    carl.opens(report)
    carl.says_and_presses("Blasted again with G24", "It is done")
    ines.opens(page_of(repair, f"steps/{PROFILE}/"))
    ines.unfolds_everything()
    for place, text in enumerate(("62", "66", "70")):
        ines.fills(f"r1-values_{place}", text)
    ines.fills("rework", "Blasted again with coarser grit")
    ines.ticks("P-02")
    ines.presses("Record and judge")
    assert ines.reads_verdict().startswith("Verdict Conforms")
    ines.opens(report)
    ines.presses("Take it as re-inspected")
    ines.presses("Close the report")
    ines.sees("Closed")


def the_witness_is_told_and_does_not_come(
    carl: Person, clara: Person, repair: Repair, clock: Any
) -> None:
    carl.opens(page_of(repair, f"steps/{HARDNESS}/points/client/notice/"))
    carl.fills("note", "At the pipe rack, ask for Carl")
    carl.presses("Give notice")
    clara.opens("/inbox/")
    clara.sees("Hardness")
    clock(timedelta(hours=3))


def a_mistyped_reading_is_corrected(ines: Person, repair: Repair) -> None:
    typed = ("8", "80", "79", "81", "76")
    verdict = records(ines, repair, HARDNESS, "S-03", *typed)
    assert verdict.startswith("Verdict Does not conform")
    ines.opens(page_of(repair, f"steps/{HARDNESS}/"))
    ines.unfolds_everything()
    ines.follows("Correct")
    ines.unfolds_everything()
    ines.fills("r1-values_0", "80")
    ines.fills("reason", "A nought was left out")
    ines.presses("Record the correction")
    ines.opens(page_of(repair, "reports/2/"))
    ines.says_and_presses("Typed 8 for 80", "Close it")
    ines.sees("Closed")


def the_absent_witness_lapses(carl: Person, repair: Repair) -> None:
    carl.opens(page_of(repair, f"steps/{HARDNESS}/points/client/lapse/"))
    carl.fills("note", "Carl Vale waited an hour at the pipe rack")
    carl.presses("Let the point lapse")


def the_certificate_tells_it_all(clara: Person, repair: Repair) -> None:
    pdf = clara.downloads(page_of(repair, "certificate/"))
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    text = " ".join("".join(page.extract_text() for page in pages).split())
    for said in ("Blasted again with coarser grit", "A nought was left out", "lapsed"):
        assert said in text


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Move the clock of the server forward."""
    real = timezone.now

    def forward(by: timedelta) -> None:
        def later() -> datetime:
            return real() + by

        monkeypatch.setattr(timezone, "now", later)

    return forward


def test_a_repair_survives_what_goes_wrong(
    people: People, repair: Repair, visit: Any, clock: Any
) -> None:
    ines, carl, clara = visit("ines"), visit("carl", DESK), visit("clara", DESK)

    the_plan_is_marked_up_and_agreed(carl, clara, repair)
    a_failing_profile_is_reworked(ines, carl, clara, repair)
    the_witness_is_told_and_does_not_come(carl, clara, repair, clock)
    a_mistyped_reading_is_corrected(ines, repair)
    the_absent_witness_lapses(carl, repair)
    signs(ines, repair, "Sign")
    signs(carl, repair, "Sign")
    signs(clara, repair, "Approve the record")
    the_certificate_tells_it_all(clara, repair)

    assert Nonconformance.objects.filter(repair=repair).count() == 2
    assert verify(Scope(projects=frozenset())).findings == []
