"""A visitor who is not signed in, and a member of another project, get nothing at any address."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver
from django.urls.resolvers import RoutePattern

from qc.engine.lifecycle import Status
from qc.engine.nonconformance import ReportDeed
from qc.engine.plan import Party
from qc.evidence.models import Evidence, RegisterFile
from qc.records.models import (
    Batch,
    Calibration,
    DataSheet,
    Inspection,
    Instrument,
    Notice,
    Repair,
)
from qc.workflow import Upload, add_data_sheet, give_notice, report_nonconformance
from tests.factories import (
    AMBIENT,
    NOON,
    THICKNESS,
    act_on,
    finish,
    photograph,
    put_signature,
    repair_on_site,
)
from tests.people import People
from tests.reports import concede, deal
from tests.web.visitor import signed_in

FOR_EVERYBODY = {"login", "logout"}
"""Pages that a person who is not signed in needs."""

OF_NO_PROJECT = {"home", "inbox", "start_repair", "characteristics", "repairs", "repairs_csv"}
"""Pages without an id: they list what is one's own, or what the record can judge at all."""

PUBLIC = {"check_certificate"}
"""The page of a certificate, open to whoever holds its code: `test_check_page.py`."""

OF_THE_ENGINE = {"characteristic"}
"""Pages with the key of a declaration, which is the same for everybody signed in."""

FIRST_IDS = {"repair_id", "project_id", "asset_id"}
"""The ids that say whose a page is; the others are of things that hang under them."""

NOWHERE = 987_654


def routes(found: Any = None, before: str = "") -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Every address: its name, its route, and the names of the ids in it."""
    for entry in get_resolver().url_patterns if found is None else found:
        assert isinstance(entry.pattern, RoutePattern), f"{entry}: write it as path()"
        route = before + str(entry.pattern)
        if isinstance(entry, URLResolver):
            yield from routes(entry.url_patterns, route)
        else:
            assert isinstance(entry, URLPattern)
            yield entry.name or route, route, tuple(entry.pattern.converters)


ROUTES = list(routes())
WITH_IDS = [route for route in ROUTES if route[2] and route[0] not in OF_THE_ENGINE | PUBLIC]


@pytest.fixture
def repair(people: People) -> Repair:
    """A repair on which there is something of everything to find."""
    made = repair_on_site(people)
    give_notice(
        repair_id=made.pk,
        position=THICKNESS,
        party=Party.CLIENT,
        scheduled_at=NOON,
        note="",
        **act_on(people, Party.CONTRACTOR),
    )
    add_data_sheet(
        project_id=people.project.pk,
        product="Filler",
        revision="1",
        values={"mixing": {"induction": "5 min"}},
        file=Upload(photograph(), "sheet.jpg"),
        **act_on(people, Party.CONTRACTOR),
    )
    report_nonconformance(repair_id=made.pk, statement="A dent", **act_on(people, Party.CONTRACTOR))
    concede(people, made)
    deal(people, made, ReportDeed.CLOSE, Party.INSPECTOR)
    finish(people, made)
    put_signature(people, made, Party.INSPECTOR)
    made.refresh_from_db()
    assert made.stands_at is Status.INSPECTED
    return made


def ids_of(repair: Repair) -> dict[str, int]:
    """An id that exists for every name of an id; one the walk does not know fails it."""
    return {
        "repair_id": repair.pk,
        "position": AMBIENT,
        "revision": 2,
        "number": 1,
        "inspection_id": Inspection.objects.filter(repair=repair).earliest("pk").pk,
        "notice_id": Notice.objects.filter(repair=repair).earliest("pk").pk,
        "evidence_id": Evidence.objects.filter(repair=repair).earliest("pk").pk,
        "project_id": repair.project_id,
        "asset_id": repair.asset_id,
        "calibration_id": Calibration.objects.earliest("pk").pk,
        "batch_id": Batch.objects.filter(project=repair.project).earliest("pk").pk,
        "sheet_id": DataSheet.objects.get().pk,
        "file_id": RegisterFile.objects.get().pk,
        "instrument_id": Instrument.objects.filter(project=repair.project).earliest("pk").pk,
    }


def address(route: str, ids: dict[str, int], key: str = "ambient") -> str:
    route = route.replace("<slug:key>", key).replace("<slug:party>", "client")
    route = route.replace("<slug:way>", "reopen")
    for name, value in ids.items():
        route = route.replace(f"<int:{name}>", str(value))
    assert "<" not in route, f"{route}: say in ids_of what stands for this id"
    return f"/{route}"


def words(answer: Any) -> str:
    """The page, but for the token that no two answers share."""
    return re.sub(r'(csrfmiddlewaretoken" value=)"\w+"', r"\1", answer.content.decode())


def answers(client: Client, there: str) -> list[Any]:
    return [client.get(there), client.post(there, {"reason": "x", "act_id": "x"})]


def test_there_are_addresses_to_walk_and_every_one_has_a_name() -> None:
    assert len(WITH_IDS) > 10
    assert all(name != route for name, route, _ in ROUTES)
    assert {name for name, _, ids in ROUTES if not ids} == FOR_EVERYBODY | OF_NO_PROJECT


def test_a_visitor_who_is_not_signed_in_is_sent_to_sign_in_everywhere(repair: Repair) -> None:
    ids = ids_of(repair)
    for name, route, _ in ROUTES:
        if name in FOR_EVERYBODY | PUBLIC:
            continue
        for answer in answers(Client(), address(route, ids)):
            assert answer.status_code == 302, name
            assert answer["Location"].startswith("/login/"), name
            assert answer.content == b"", name


def test_to_a_member_of_another_project_it_is_as_if_it_did_not_exist(
    people: People, repair: Repair
) -> None:
    olu, ids = signed_in(people.olu), ids_of(repair)
    for name, route, _ in WITH_IDS:
        there = answers(olu, address(route, ids))
        nowhere = answers(olu, address(route, dict.fromkeys(ids, NOWHERE)))
        for answer, missing in zip(there, nowhere, strict=True):
            assert answer.status_code == missing.status_code, name
            assert answer.status_code in (404, 405), name
            assert words(answer) == words(missing), name
        assert 404 in [answer.status_code for answer in there], name


def test_an_id_of_another_repair_or_project_does_not_open_a_page_of_ones_own(
    people: People, repair: Repair
) -> None:
    """What hangs under a repair or project is found under that one only."""
    ines, known = signed_in(people.ines), ids_of(repair)
    for name, route, ids in WITH_IDS:
        hanging = [each for each in ids if each not in FIRST_IDS]
        if hanging:
            there = address(route, known | dict.fromkeys(hanging, NOWHERE), "nowhere")
            statuses = {answer.status_code for answer in answers(ines, there)}
            assert statuses <= {404, 405}, name


@pytest.mark.parametrize("name", sorted(OF_NO_PROJECT | OF_THE_ENGINE))
def test_pages_without_an_id_show_nothing_of_another_project(
    people: People, repair: Repair, name: str
) -> None:
    route = next(route for known, route, _ in ROUTES if known == name)
    page = signed_in(people.olu).get(address(route, {}))
    assert page.status_code in (200, 409)
    for secret in (repair.number, repair.title, people.project.title, people.project.code):
        assert secret not in page.getvalue().decode()


def test_a_person_who_left_the_project_finds_nothing_any_more(
    people: People, repair: Repair
) -> None:
    ines = signed_in(people.ines)
    assert ines.get(f"/repairs/{repair.pk}/").status_code == 200
    people.ines.memberships.all().delete()
    assert ines.get(f"/repairs/{repair.pk}/").status_code == 404
