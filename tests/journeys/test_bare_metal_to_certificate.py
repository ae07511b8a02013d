"""A repair from bare metal to its certificate, played by three people in three browsers."""

import io
from typing import Any

import pypdf
import pytest

from qc.records.models import Certificate, Repair
from tests.factories import (
    AMBIENT,
    FILLER,
    HARDNESS,
    THICKNESS,
    batch,
    instrument,
    photograph,
    planned_repair,
)
from tests.journeys.conftest import DESK
from tests.journeys.person import Person
from tests.people import PASSWORD, People

pytestmark = pytest.mark.browser


@pytest.fixture
def repair(people: People) -> Repair:
    """A planned repair, with what its steps are measured and made with."""
    for kind, identifier in (
        ("hygrometer", "H-07"),
        ("depth_gauge", "D-01"),
        ("durometer", "S-03"),
    ):
        instrument(people, kind, identifier=identifier)
    batch(people)
    return planned_repair(people)


def records(ines: Person, repair: Repair, position: int, tick: str, **typed: str) -> str:
    """Type readings on a step, record them, and read the verdict."""
    ines.opens(f"/repairs/{repair.pk}/steps/{position}/")
    ines.unfolds_everything()
    for name, text in typed.items():
        ines.fills(f"r1-{name}", text)
    if tick:
        ines.ticks(tick)
    ines.presses("Record and judge")
    return ines.reads_verdict()


def signs(person: Person, repair: Repair, button: str, password: str = PASSWORD) -> None:
    person.opens(f"/repairs/{repair.pk}/sign/")
    person.fills("password", password)
    person.presses(button)


def given_an_agreed_plan(clara: Person, repair: Repair) -> None:
    clara.opens(f"/repairs/{repair.pk}/plan/")
    clara.presses("Agree revision 2 of this plan")


def when_the_filler_is_mixed_in_dry_air(ines: Person, repair: Repair) -> None:
    dry = {"air": "21", "humidity": "60", "steel_0": "19"}
    assert records(ines, repair, AMBIENT, "H-07", **dry).startswith("Verdict Conforms")
    mixed = {"mix_start": "2026-05-12T11:00", "mix_end": "2026-05-12T11:05"}
    assert records(ines, repair, FILLER, "B-1", **mixed).startswith("Verdict Conforms")


def deals(person: Person, repair: Repair, way: str, button: str, **typed: str) -> None:
    """Open the report, say what is asked for and press the button of one way."""
    person.opens(f"/repairs/{repair.pk}/reports/1/")
    person.unfolds_everything()
    for name, text in typed.items():
        person.fills(f"{way}-{name}", text)
    person.presses(button)


def when_it_is_too_thin_and_built_up(ines: Person, carl: Person, repair: Repair) -> None:
    thin = records(ines, repair, THICKNESS, "D-01", values_0="4,6", values_1="6.1")
    assert thin.startswith("Verdict Does not conform")
    deals(carl, repair, "contain", "Contain it", text="Ringed with marker")
    carl.opens(f"/repairs/{repair.pk}/reports/1/")
    carl.ticks("Rework")
    carl.fills("propose-text", "Build up with the same mix")
    carl.presses("Propose")
    deals(ines, repair, "approve", "Approve")
    deals(carl, repair, "implement", "It is done", text="Built up")
    ines.opens(f"/repairs/{repair.pk}/steps/{THICKNESS}/")
    ines.unfolds_everything()
    ines.fills("rework", "Built up and measured again")
    ines.fills("r1-values_0", "5,6")
    ines.ticks("D-01")
    ines.presses("Record and judge")
    assert ines.reads_verdict().startswith("Verdict Conforms")
    deals(ines, repair, "reinspect", "Take it as re-inspected")
    deals(ines, repair, "close", "Close the report")
    ines.sees("The report is closed.")


def then_the_work_is_held(ines: Person, repair: Repair) -> None:
    ines.opens(f"/repairs/{repair.pk}/steps/{HARDNESS}/")
    ines.sees("hold point of the client is open")


def when_the_contractor_shows_the_gauge(carl: Person, repair: Repair) -> None:
    carl.opens(f"/repairs/{repair.pk}/evidence/")
    carl.uploads("gauge.jpg", photograph())
    carl.presses("Keep as evidence")


def when_the_client_closes(clara: Person, repair: Repair, position: int, how: str) -> None:
    clara.opens(f"/repairs/{repair.pk}/steps/{position}/point/")
    clara.ticks(how)
    clara.presses("Close the point")


def when_the_hardness_is_read(ines: Person, repair: Repair) -> None:
    shore = {f"values_{n}": text for n, text in enumerate(("78", "80", "79", "81", "76"))}
    assert records(ines, repair, HARDNESS, "S-03", **shore).startswith("Verdict Conforms")


def when_the_three_sign(ines: Person, carl: Person, clara: Person, repair: Repair) -> None:
    signs(ines, repair, "Sign", password="not it")
    ines.sees("The password is not right")
    signs(ines, repair, "Sign")
    signs(carl, repair, "Sign")
    signs(clara, repair, "Approve the record")


def then_the_certificate_says_who_did_what(clara: Person, repair: Repair) -> None:
    clara.opens(f"/repairs/{repair.pk}/")
    clara.sees("Released")
    pdf = clara.downloads(f"/repairs/{repair.pk}/certificate/")
    text = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)
    number = Certificate.objects.get().number
    for said in (number, "Ines Dunmore", "Carl Vale", "Clara Kestle", "after rework"):
        assert said in text


def test_three_people_bring_a_repair_to_its_certificate(repair: Repair, visit: Any) -> None:
    ines, carl, clara = visit("ines"), visit("carl", DESK), visit("clara", DESK)

    given_an_agreed_plan(clara, repair)
    when_the_filler_is_mixed_in_dry_air(ines, repair)
    when_it_is_too_thin_and_built_up(ines, carl, repair)
    then_the_work_is_held(ines, repair)
    when_the_contractor_shows_the_gauge(carl, repair)
    when_the_client_closes(clara, repair, THICKNESS, "Release")
    when_the_hardness_is_read(ines, repair)
    when_the_client_closes(clara, repair, HARDNESS, "Reviewed")
    when_the_three_sign(ines, carl, clara, repair)
    then_the_certificate_says_who_did_what(clara, repair)


@pytest.mark.parametrize("username", ["ines", "carl", "clara"])
def test_no_page_is_wider_than_a_small_phone(repair: Repair, visit: Any, username: str) -> None:
    person = visit(username, {"width": 320, "height": 640})
    here, project = f"/repairs/{repair.pk}/", f"/projects/{repair.project_id}/"
    pages = ("", "plan/", "reports/", "steps/1/", "steps/3/", "evidence/", "record/", "sign/")

    wide = {}
    for path in ("/", f"{project}instruments/", f"{project}batches/", *(here + p for p in pages)):
        person.opens(path)
        wide[path] = person.width_scrolled()

    assert {path: by for path, by in wide.items() if by > 0} == {}
