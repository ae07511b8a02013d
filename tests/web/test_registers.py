"""The registers: how long instruments and batches are good for, and entering new ones."""

from datetime import date, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from qc.engine.characteristics import CHARACTERISTICS
from qc.records.models import Batch, Calibration, Instrument
from tests.factories import batch, instrument
from tests.people import People
from tests.web.visitor import enter, signed_in, text_of

KEEPERS = ["carl", "ines"]


def today() -> date:
    """The day at the site, which is at most one off that of the clock."""
    return timezone.now().date()


def address(people: People, register: str) -> str:
    return f"/projects/{people.project.pk}/{register}/"


def calibrations(people: People, kept: Instrument) -> str:
    return address(people, f"instruments/{kept.pk}/calibrations")


def rows_of(page: Any) -> list[list[str]]:
    """The texts of the register's rows, first column first."""
    return [[cell["text"] for cell in row["cells"]] for row in page.context["rows"]]


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (-2, "Overdue"),
        (1, "Due within 30 days"),
        (29, "Due within 30 days"),
        (32, "In calibration"),
    ],
)
def test_an_instrument_says_in_words_how_it_stands_today(
    people: People, days: int, words: str
) -> None:
    due = today() + timedelta(days=days)
    instrument(people, "durometer", due_on=due)
    page = signed_in(people.clara).get(address(people, "instruments"))
    (row,) = rows_of(page)
    assert row[1] == "Durometer"
    assert row[3] == words
    assert words in text_of(page)


def test_an_instrument_without_a_calibration_says_so(people: People) -> None:
    Instrument.objects.create(project=people.project, identifier="D-1", kind="durometer")
    page = signed_in(people.ines).get(address(people, "instruments"))
    assert rows_of(page) == [["D-1", "Durometer", "", "Not calibrated", ""]]


def test_what_is_past_its_day_comes_first(people: People) -> None:
    for identifier, days in (("A", 200), ("B", 5), ("C", -5)):
        due = today() + timedelta(days=days)
        instrument(people, "durometer", due_on=due, identifier=identifier)
    page = signed_in(people.ines).get(address(people, "instruments"))
    assert [row[0] for row in rows_of(page)] == ["C", "B", "A"]


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (-2, "Expired"),
        (1, "Expires within 30 days"),
        (29, "Expires within 30 days"),
        (32, "In shelf life"),
        (None, "No expiry stated"),
    ],
)
def test_a_batch_says_in_words_how_it_stands_today(
    people: People, days: int | None, words: str
) -> None:
    batch(people, None if days is None else today() + timedelta(days=days))
    page = signed_in(people.clara).get(address(people, "batches"))
    assert rows_of(page)[0][3] == words


@pytest.mark.parametrize("who", KEEPERS)
def test_an_instrument_is_entered_and_its_calibration_asked_for(people: People, who: str) -> None:
    page = enter(
        signed_in(getattr(people, who)),
        address(people, "instruments"),
        identifier="PG-7",
        kind="profile_gauge",
        description="0 to 500 µm",
    )
    kept = Instrument.objects.get()
    assert page.redirect_chain == [(calibrations(people, kept), 302)]
    assert (kept.identifier, kept.kind, kept.project) == ("PG-7", "profile_gauge", people.project)
    assert "enter its calibration" in text_of(page)


def test_every_kind_that_a_characteristic_is_read_with_can_be_entered(people: People) -> None:
    form = signed_in(people.carl).get(address(people, "instruments")).context["form"]
    offered = {kind for kind, _ in form.fields["kind"].choices}
    assert offered >= {kind for c in CHARACTERISTICS.values() for kind in c.instruments}


def test_a_calibration_is_entered(people: People) -> None:
    kept = Instrument.objects.create(project=people.project, identifier="D-1", kind="durometer")
    page = enter(
        signed_in(people.carl),
        calibrations(people, kept),
        certificate="C-118",
        calibrated_on="2026-01-10",
        due_on="2027-01-09",
    )
    assert rows_of(page)[0][:3] == ["C-118", "10 Jan 2026", "9 Jan 2027"]
    assert Calibration.objects.get().due_on == date(2027, 1, 9)


def test_a_batch_is_entered_with_and_without_an_expiry(people: People) -> None:
    for number, expiry in (("B-1", "2027-01-09"), ("B-2", "")):
        enter(
            signed_in(people.ines),
            address(people, "batches"),
            product="Filler",
            part="A",
            number=number,
            expiry=expiry,
        )
    assert [b.expiry for b in Batch.objects.order_by("number")] == [date(2027, 1, 9), None]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"identifier": ""}, "Enter the identifier that is marked on the instrument."),
        ({"identifier": "x" * 41}, "Identifier: 41 characters are more than 40."),
        ({"kind": ""}, "Choose what kind of instrument it is."),
        ({"kind": "crowbar"}, "crowbar is not a kind of instrument that is known here."),
    ],
)
def test_an_instrument_that_cannot_be_entered_is_told_and_kept_on_the_page(
    people: People, typed: dict[str, str], words: str
) -> None:
    good = {"identifier": "PG-7", "kind": "profile_gauge", "description": "the small one"}
    page = enter(signed_in(people.carl), address(people, "instruments"), **(good | typed))
    assert words in text_of(page)
    assert 'value="the small one"' in page.content.decode()
    assert not Instrument.objects.exists()


def test_an_identifier_is_taken_once(people: People) -> None:
    instrument(people, "durometer", identifier="D-1")
    typed = {"identifier": "D-1", "kind": "durometer", "description": "another"}
    page = enter(signed_in(people.carl), address(people, "instruments"), **typed)
    assert page.status_code == 409
    assert "The identifier D-1 is taken in this project." in text_of(page)
    assert 'value="another"' in page.content.decode()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"certificate": ""}, "Enter the number of the calibration certificate."),
        ({"calibrated_on": ""}, "Enter the day of the calibration."),
        ({"due_on": "soon"}, "soon is not a day: type it as 2026-05-12."),
        ({"due_on": "2027-02-30"}, "2027-02-30 is not a day"),
        ({"due_on": "2026-01-09"}, "The calibration falls due on 2026-01-09, before it was made."),
        ({"calibrated_on": "2999-01-01", "due_on": "2999-01-02"}, "2999-01-01 lies ahead."),
    ],
)
def test_a_calibration_that_cannot_be_is_told_and_kept_on_the_page(
    people: People, typed: dict[str, str], words: str
) -> None:
    kept = Instrument.objects.create(project=people.project, identifier="D-1", kind="durometer")
    good = {"certificate": "C-1", "calibrated_on": "2026-01-10", "due_on": "2027-01-09"}
    page = enter(signed_in(people.carl), calibrations(people, kept), **(good | typed))
    assert words in text_of(page)
    assert all(
        f'value="{text}"' in page.content.decode() for text in (good | typed).values() if text
    )
    assert not Calibration.objects.exists()


def test_the_same_certificate_is_not_entered_twice(people: People) -> None:
    kept = Instrument.objects.create(project=people.project, identifier="D-1", kind="durometer")
    typed = {"certificate": "C-1", "calibrated_on": "2026-01-10", "due_on": "2027-01-09"}
    pages = [enter(signed_in(people.carl), calibrations(people, kept), **typed) for _ in range(2)]
    assert pages[1].status_code == 409
    assert "Certificate C-1, due 2027-01-09, is in the register already." in text_of(pages[1])
    assert Calibration.objects.count() == 1


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"product": ""}, "Enter what the product is called."),
        ({"number": ""}, "Enter the batch number that is on the label."),
        ({"expiry": "31.12.2026"}, "31.12.2026 is not a day: type it as 2026-05-12."),
    ],
)
def test_a_batch_that_cannot_be_entered_is_told(
    people: People, typed: dict[str, str], words: str
) -> None:
    good = {"product": "Filler", "part": "A", "number": "B-1", "expiry": "2027-01-01"}
    page = enter(signed_in(people.carl), address(people, "batches"), **(good | typed))
    assert words in text_of(page)
    assert not Batch.objects.exists()


def test_a_batch_is_entered_once(people: People) -> None:
    kept = batch(people)
    typed = {"product": kept.product, "part": "", "number": kept.number, "expiry": ""}
    page = enter(signed_in(people.carl), address(people, "batches"), **typed)
    assert page.status_code == 409
    assert "is in the register already" in text_of(page)


@pytest.mark.parametrize(
    ("register", "data"),
    [
        ("instruments", {"identifier": "D-1", "kind": "durometer"}),
        ("batches", {"product": "Filler", "number": "B-1"}),
    ],
)
def test_the_client_reads_the_registers_and_enters_nothing(
    people: People, register: str, data: dict[str, str]
) -> None:
    client = signed_in(people.clara)
    page = client.get(address(people, register))
    assert page.context["form"] is None
    assert "Contractor and inspector keep this register." in text_of(page)
    refused = client.post(address(people, register), {**data, "act_id": str(uuid4())})
    assert refused.status_code == 409
    assert "The client does not keep this register" in text_of(refused)
    assert not Instrument.objects.exists()
    assert not Batch.objects.exists()


def test_the_client_enters_no_calibration(people: People) -> None:
    kept = Instrument.objects.create(project=people.project, identifier="D-1", kind="durometer")
    days = {"calibrated_on": "2026-01-10", "due_on": "2027-01-09"}
    data = {"certificate": "C-1", "act_id": str(uuid4()), **days}
    page = signed_in(people.clara).post(calibrations(people, kept), data)
    assert page.status_code == 409
    assert not Calibration.objects.exists()


def test_an_instrument_of_another_project_is_not_found(people: People) -> None:
    other = Instrument.objects.create(project=people.elsewhere, identifier="D-1", kind="durometer")
    client = signed_in(people.carl)
    assert client.get(calibrations(people, other)).status_code == 404
    assert client.get(f"/projects/{people.elsewhere.pk}/instruments/").status_code == 404


@pytest.mark.parametrize("register", ["instruments", "batches"])
def test_an_empty_register_says_what_goes_in(people: People, register: str) -> None:
    assert "Each is entered once" in text_of(signed_in(people.carl).get(address(people, register)))


def test_a_long_register_takes_no_more_queries_than_a_short_one(people: People) -> None:
    client, counts = signed_in(people.clara), []
    for _ in range(2):
        for _ in range(4):
            instrument(people, "durometer")
        with CaptureQueriesContext(connection) as queries:
            client.get(address(people, "instruments"))
        counts.append(len(queries))
    assert counts[0] == counts[1]
