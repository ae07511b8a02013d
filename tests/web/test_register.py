"""The register of repairs: search, every filter, order, pages, and the file for a spreadsheet."""

import csv
import io
from datetime import date
from typing import Any
from urllib.parse import urlencode

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from qc.accounts.models import Membership, User
from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.records.models import Certificate, Repair
from qc.workflow import agree_plan
from tests.factories import (
    AMBIENT,
    NOON,
    act_on,
    planned_repair,
    record,
    repair_on_site,
)
from tests.people import People, project
from tests.web.visitor import signed_in, text_of

DAMP = [
    {"at": "2026-05-12T11:00+00:00", "air": "21 degC", "humidity": "97 %", "steel": ["19 degC"]}
]
"""A reading that does not conform."""


def register(user: User, **asked: str) -> Any:
    return signed_in(user).get("/repairs/", asked)


def numbers(page: Any) -> list[str]:
    """The numbers of the repairs on a page, in its order."""
    return [row["cells"][0]["text"].split()[0] for row in page.context["rows"]]


def found(user: User, **asked: str) -> list[str]:
    page = register(user, **asked)
    assert page.status_code == 200
    return numbers(page)


def certificate_of(repair: Repair, number: str, issued_at: Any) -> None:
    """A certificate in the register alone: here only its number and moment count."""
    Certificate.objects.create(
        repair=repair,
        number=number,
        issued_at=issued_at,
        snapshot="{}",
        snapshot_digest="0" * 64,
        pdf_digest="0" * 64,
    )


@pytest.fixture
def three(people: People) -> tuple[Repair, Repair, Repair]:
    """Three repairs on three components, each with facts of its own."""
    return (
        planned_repair(people, number="R-1"),
        planned_repair(
            people,
            number="R-2",
            asset_tag="8-SL-012",
            line="8-SL-0120-B1",
            defect="Thinned from outside",
            defect_type="external_corrosion",
            repair_class="2",
            next_inspection=date(2028, 5, 31),
        ),
        planned_repair(
            people,
            number="R-3",
            asset_tag="T-09",
            title="Coating of the first strake",
            defect="Coating broken down",
            defect_type="coating",
            defect_position="east side",
            next_inspection=date(2027, 5, 31),
        ),
    )


def test_the_register_lists_every_repair_of_ones_projects_by_number(
    people: People, three: tuple[Repair, ...]
) -> None:
    page = register(people.clara)
    assert numbers(page) == ["R-1", "R-2", "R-3"]
    assert "3 repairs" in text_of(page)
    assert f'href="/repairs/{three[0].pk}/"' in page.content.decode()
    assert f'href="/components/{three[1].asset_id}/"' in page.content.decode()


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("r-2", ["R-2"]),
        ("STRAKE", ["R-3"]),
        ("8-sl-012", ["R-2"]),
        ("0120-b1", ["R-2"]),
        ("broken", ["R-3"]),
        ("corrosion", ["R-2"]),
        ("east", ["R-3"]),
        ("coating strake", ["R-3"]),
        ("coating thinned", []),
        ("%", []),
        ("_", []),
        ("'; drop table", []),
    ],
)
def test_every_word_is_looked_for_in_number_title_component_line_and_defect(
    people: People, three: tuple[Repair, ...], words: str, expected: list[str]
) -> None:
    assert found(people.carl, q=words) == expected


def test_a_repair_is_found_by_what_it_was_made_and_measured_with(people: People) -> None:
    repair = repair_on_site(people)
    planned_repair(people, number="R-9", asset_tag="OTHER")
    record(people, repair, AMBIENT)
    record(people, repair, 2)
    gauge = repair.inspections.first().instrument_uses.get().instrument  # type: ignore[union-attr]
    batch = repair.inspections.last().batch_uses.get().batch  # type: ignore[union-attr]
    certificate_of(repair, "QR-SQT-77", NOON)

    assert found(people.ines, q=gauge.identifier) == ["R-014"]
    assert found(people.ines, q=batch.number) == ["R-014"]
    assert found(people.ines, q="sqt-77") == ["R-014"]


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        ({"defect_type": "external_corrosion"}, ["R-2"]),
        ({"repair_class": "2"}, ["R-2"]),
        ({"status": "planned"}, ["R-1", "R-2", "R-3"]),
        ({"status": "released"}, []),
        ({"due_by": "2027-05-30"}, []),
        ({"due_by": "2027-05-31"}, ["R-3"]),
        ({"due_by": "2028-06-01"}, ["R-2", "R-3"]),
        ({"due_by": "2028-06-01", "defect_type": "coating"}, ["R-3"]),
        ({"with_open_reports": "on"}, []),
    ],
)
def test_filters_narrow_what_is_found(
    people: People, three: tuple[Repair, ...], asked: dict[str, str], expected: list[str]
) -> None:
    assert found(people.clara, **asked) == expected


def test_open_reports_are_counted_and_filtered(people: People) -> None:
    repair = repair_on_site(people)
    planned_repair(people, number="R-9", asset_tag="OTHER")
    record(people, repair, AMBIENT, DAMP)

    page = register(people.clara, with_open_reports="on")

    assert numbers(page) == ["R-014"]
    labels = [column["label"] for column in page.context["columns"]]
    assert page.context["rows"][0]["cells"][labels.index("Open reports")]["text"] == "1"


def test_a_status_is_that_of_the_record(people: People, three: tuple[Repair, ...]) -> None:
    agree_plan(repair_id=three[1].pk, **act_on(people, Party.CLIENT))
    assert found(people.clara, status=str(Status.ON_SITE)) == ["R-2"]


@pytest.mark.parametrize(
    ("since", "until", "is_found"),
    [
        ("2026-05-12", "2026-05-12", False),
        ("2026-05-13", "2026-05-13", True),
        ("2026-05-13", "", True),
        ("", "2026-05-13", True),
        ("", "2026-05-12", False),
        ("2026-05-14", "", False),
    ],
)
def test_a_release_is_on_the_day_of_the_site(
    people: People, three: tuple[Repair, ...], since: str, until: str, is_found: bool
) -> None:
    """23:30 UTC in May is half past midnight in Dublin, on the next day."""
    certificate_of(three[0], "QR-1", NOON.replace(hour=23, minute=30))
    expected = ["R-1"] if is_found else []
    assert found(people.clara, released_from=since, released_to=until) == expected


@pytest.mark.parametrize(
    ("order", "expected"),
    [
        ("", ["R-1", "R-2", "R-3"]),
        ("number", ["R-1", "R-2", "R-3"]),
        ("newest", ["R-1", "R-2", "R-3"]),
        ("due", ["R-3", "R-2", "R-1"]),
        ("released", ["R-2", "R-1", "R-3"]),
        ("component", ["R-1", "R-2", "R-3"]),
        ("status", ["R-1", "R-3", "R-2"]),
    ],
)
def test_the_order_can_be_chosen(
    people: People, three: tuple[Repair, ...], order: str, expected: list[str]
) -> None:
    certificate_of(three[1], "QR-2", NOON)
    agree_plan(repair_id=three[1].pk, **act_on(people, Party.CLIENT))
    assert found(people.clara, sort=order) == expected


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"due_by": "tomorrow"}, "tomorrow is not a day: type it as 2026-05-12."),
        ({"released_from": "2026-02-30"}, "2026-02-30 is not a day"),
        (
            {"released_from": "2026-05-02", "released_to": "2026-05-01"},
            "2026-05-01 is before 2026-05-02.",
        ),
        ({"released_to": "9999-12-31"}, "9999-12-31 lies beyond the calendar."),
        ({"status": "lost"}, "Status: lost is none of those to choose from."),
        ({"defect_type": "rust"}, "Kind of defect: rust is none"),
        ({"sort": "price"}, "Order: price is none"),
        ({"project": "x"}, "Project: x is none"),
        ({"q": "x" * 201}, "Search: 201 characters are more than 200."),
        ({"q": "a b c d e f g h i"}, "Search: 9 words are more than 8: leave some out."),
        ({"q": "a\0b"}, "Null characters are not allowed."),
    ],
)
def test_what_cannot_be_read_is_named_at_its_field_and_nothing_is_found(
    people: People, three: tuple[Repair, ...], asked: dict[str, str], words: str
) -> None:
    page = register(people.clara, **asked)
    assert page.status_code == 200
    assert words in text_of(page)
    assert page.context["rows"] == []
    assert "Error: " in text_of(page)
    assert signed_in(people.clara).get("/repairs/register.csv", asked)["Location"] == (
        f"/repairs/?{urlencode(asked)}"
    )


def test_an_empty_result_says_what_to_do(people: People, three: tuple[Repair, ...]) -> None:
    assert "Take a filter out" in text_of(register(people.clara, q="nothing like it"))


def test_before_the_first_repair_the_register_says_who_starts_one(people: People) -> None:
    assert "The contractor starts a repair" in text_of(register(people.clara))
    assert "You are in no project yet" in text_of(register(User.objects.create_user("nell")))


def test_the_state_of_the_search_stays_in_the_address_and_in_the_form(
    people: People, three: tuple[Repair, ...]
) -> None:
    page = register(people.clara, q="coating", defect_type="coating", status="", page="1")
    html = page.content.decode()
    assert 'value="coating"' in html
    assert '<option value="coating" selected>' in html
    assert "/repairs/register.csv?q=coating&amp;defect_type=coating" in html


def test_pages_follow_one_another_and_one_too_far_is_the_last(people: People) -> None:
    for number in range(27):
        planned_repair(people, number=f"R-{number:02}", asset_tag=f"P-{number}")
    first = register(people.clara, q="r-")
    assert len(numbers(first)) == 25
    assert "1 to 25 of 27 repairs" in text_of(first)
    assert "?q=r-&amp;page=2" in first.content.decode()
    assert numbers(register(people.clara, q="r-", page="2")) == ["R-25", "R-26"]
    assert numbers(register(people.clara, page="99")) == ["R-25", "R-26"]
    assert len(numbers(register(people.clara, page="x"))) == 25


def test_repairs_of_other_projects_are_never_found(
    people: People, three: tuple[Repair, ...]
) -> None:
    theirs = str(people.project.pk)
    for asked in ({}, {"q": "R-1"}, {"repair_class": "2"}, {"project": theirs}, {"sort": "due"}):
        for address in ("/repairs/", "/repairs/register.csv"):
            page = signed_in(people.olu).get(address, asked)
            said = b"".join(page) if page.streaming else page.content
            assert b"R-1" not in said.replace(b'value="R-1"', b"")
            assert b"8-SL-012" not in said
            assert b"Saltmarsh" not in said
    assert "Repair class: 2 is none" in text_of(register(people.olu, repair_class="2"))


def test_of_two_projects_one_is_chosen(people: People, three: tuple[Repair, ...]) -> None:
    second = project("TWO", "Second", {})
    Membership.objects.create(project=second, user=people.clara, party="client")
    assert found(people.clara, project=str(second.pk)) == []
    assert found(people.clara, project=str(people.project.pk)) == ["R-1", "R-2", "R-3"]
    columns = {c["label"] for c in register(people.clara).context["columns"]}
    assert columns - {c["label"] for c in register(people.ines).context["columns"]} == {"Project"}


def lines(user: User, **asked: str) -> list[dict[str, str]]:
    answer = signed_in(user).get("/repairs/register.csv", asked)
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Disposition"].startswith("attachment")
    text = answer.getvalue().decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_the_file_holds_what_is_found_figures_and_units_apart(
    people: People, three: tuple[Repair, ...]
) -> None:
    (line,) = lines(people.clara, q="r-2")
    assert line["Number"] == "R-2"
    assert (line["Outside diameter"], line["Outside diameter, unit"]) == ("168.3", "mm")
    assert line["Kind of defect"] == "External corrosion"
    assert line["Next inspection"] == "2028-05-31"
    assert line["Open reports"] == "0"
    assert line["Certificate"] == ""
    assert len(lines(people.clara)) == 3


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t=", " =", "\uff1d"])
def test_text_that_a_spreadsheet_would_run_is_kept_from_running(people: People, start: str) -> None:
    hostile = f"{start}cmd|'/c calc'!A1"
    planned_repair(people, number=f"{start}1+1", title=hostile, defect=hostile)
    (line,) = lines(people.clara)
    assert line["Title"] == f"'{hostile}"
    assert line["Defect"] == f"'{hostile}"
    assert line["Number"] == f"'{start}1+1"


def test_a_negative_figure_stays_a_figure(people: People) -> None:
    planned_repair(people, temperature="-3.5 degC", title="-3.5", defect_distance="-0.4 m")
    (line,) = lines(people.clara)
    assert line["Operating temperature"] == "-3.5"
    assert line["Operating temperature, unit"] == "degC"
    assert line["Distance along the component"] == "-0.4"
    assert line["Title"] == "-3.5"


@pytest.mark.parametrize("address", ["/repairs/", "/repairs/register.csv"])
def test_the_queries_do_not_grow_with_the_repairs(people: People, address: str) -> None:
    client, counts = signed_in(people.clara), []
    for number in range(1, 7):
        repair = planned_repair(people, number=f"R-{number}", asset_tag=f"P-{number}")
        certificate_of(repair, f"QR-{number}", NOON)
        if number in (1, 6):
            with CaptureQueriesContext(connection) as captured:
                answer = client.get(address, {"q": "r", "released_from": "2020-01-01"})
                assert b"R-1" in (b"".join(answer) if answer.streaming else answer.content)
            counts.append(len(captured))
    assert counts[0] == counts[1]
