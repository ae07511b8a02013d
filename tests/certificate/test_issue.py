"""Issuing: from an approved record to a released certificate, once, or not at all."""

import json
from unittest import mock
from uuid import uuid4

import pytest

from qc.accounts.access import NotAMember
from qc.certificate import issue, snapshot
from qc.certificate.issue import issue_certificate, number_of
from qc.certificate.job import Unprintable
from qc.certificate.page import render_html
from qc.certificate.pdf import job_of
from qc.certificate.snapshot import build
from qc.engine import ENGINE
from qc.engine.lifecycle import Refused, Status
from qc.engine.plan import Party
from qc.evidence.store import fetch
from qc.ledger.canonical import canonical, digest
from qc.ledger.chain import head_of, repair_chain
from qc.records.models import Certificate, Repair
from tests.certificate.reading import pages_of
from tests.factories import NOON, act_on, planned_repair, repair_at
from tests.people import People

PDF = b"%PDF-1.7 stands for a certificate"


def _issue(people: People, repair: Repair, party: Party = Party.CLIENT) -> Certificate:
    issue_certificate(repair_id=repair.pk, **act_on(people, party))
    return repair.certificates.get()


def test_an_approved_record_becomes_a_certificate_that_can_be_read(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)

    certificate = _issue(people, repair)

    repair.refresh_from_db()
    kept = json.loads(certificate.snapshot)
    pages = pages_of(fetch(certificate.pdf_digest))
    assert repair.stands_at is Status.RELEASED
    assert certificate.number == f"QR-SQT-{repair.number}"
    assert certificate.number in pages[0]
    assert kept["record_digest"][:4] in pages[0]
    assert "4 of 4 steps conform" in pages[0]
    assert [one["printed_name"] for one in kept["signatures"]] == [
        "Ines Dunmore",
        "Carl Vale",
        "Clara Kestle",
    ]


def test_the_snapshot_that_is_kept_gives_the_same_file_again(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)
    repair.title = "Cafe\u0301 roof"
    repair.save()

    snapshot = build(repair, "QR-1", NOON)
    kept = json.loads(canonical(snapshot))

    assert job_of(render_html(kept), kept) == job_of(render_html(snapshot), snapshot)
    assert "Caf\u00e9 roof" in render_html(snapshot)


def test_the_snapshot_holds_plain_data_that_has_one_canonical_form(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)

    made = build(repair, "QR-1", NOON, "ACDE-FHJK-MNPR-TVWX-Y346", "https://record.example/check/")

    assert json.loads(canonical(made)) == made
    assert made["record_digest"] == digest(made["record"])
    assert {one["record_digest"] for one in made["signatures"]} == {made["record_digest"]}
    assert made["certificate"] == {
        "number": "QR-1",
        "revision": 1,
        "issued_at": "2026-05-12T11:00:00.000000Z",
        "check_code": "ACDE-FHJK-MNPR-TVWX-Y346",
        "check_address": "https://record.example/check/",
    }
    assert (made["ledger"]["length"], made["ledger"]["head"]) == head_of(repair_chain(repair.pk))
    assert made["engine"] == ENGINE
    assert set(made["signatures"][0]) == {
        "party",
        "printed_name",
        "organisation",
        "meaning",
        "signed_at",
        "record_digest",
    }


def test_signatures_of_an_earlier_round_are_not_on_the_certificate(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)
    repair.signing_round += 1

    assert build(repair, "QR-1", NOON)["signatures"] == []


@pytest.mark.parametrize("status", [Status.PLANNED, Status.ON_SITE, Status.WITH_CLIENT])
def test_nothing_is_rendered_for_what_would_be_refused(people: People, status: Status) -> None:
    repair = repair_at(people, status)

    with mock.patch.object(issue, "render_pdf") as render, pytest.raises(Refused):
        _issue(people, repair)

    render.assert_not_called()


def test_only_the_client_issues(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)

    with mock.patch.object(issue, "render_pdf") as render, pytest.raises(Refused, match="client"):
        _issue(people, repair, Party.INSPECTOR)

    render.assert_not_called()


def test_to_an_outsider_the_repair_does_not_exist(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)

    with mock.patch.object(issue, "render_pdf") as render, pytest.raises(NotAMember):
        issue_certificate(repair_id=repair.pk, actor=people.olu, at=NOON, act_id=uuid4())

    render.assert_not_called()


def test_a_failed_rendering_leaves_the_record_approved_and_it_can_be_tried_again(
    people: People,
) -> None:
    repair = repair_at(people, Status.APPROVED)
    before = head_of(repair_chain(repair.pk))

    failing = mock.patch.object(issue, "render_pdf", side_effect=Unprintable("no room"))
    with failing, pytest.raises(Unprintable):
        _issue(people, repair)

    repair.refresh_from_db()
    assert repair.stands_at is Status.APPROVED
    assert head_of(repair_chain(repair.pk)) == before
    assert not Certificate.objects.exists()
    with mock.patch.object(issue, "render_pdf", return_value=PDF):
        assert fetch(_issue(people, repair).pdf_digest) == PDF


def test_sent_twice_it_is_made_once(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)
    once = {"repair_id": repair.pk, **act_on(people, Party.CLIENT)}

    with mock.patch.object(issue, "render_pdf", return_value=PDF) as render:
        first, second = issue_certificate(**once), issue_certificate(**once)

    assert first.pk == second.pk
    assert render.call_count == 1
    assert Certificate.objects.count() == 1


def test_a_record_that_moved_on_meanwhile_is_refused(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)

    def drifted(*args: object) -> dict[str, object]:
        made = snapshot.build(*args)  # type: ignore[arg-type]
        return made | {"record": made["record"] | {"returns": ["one"]}}

    with (
        mock.patch.object(issue, "render_pdf", return_value=PDF),
        mock.patch.object(issue, "render_html", return_value=""),
        mock.patch.object(issue, "build", drifted),
        pytest.raises(Refused, match="changed"),
    ):
        _issue(people, repair)

    assert not Certificate.objects.exists()


def test_two_repairs_whose_names_join_to_the_same_get_two_numbers(people: People) -> None:
    repair = planned_repair(people)
    other = planned_repair(people, number="R-015")
    taken = number_of(repair)
    Certificate.objects.create(
        repair=other,
        number=taken,
        issued_at=NOON,
        snapshot="{}",
        snapshot_digest="0" * 64,
        pdf_digest="0" * 64,
    )

    assert number_of(repair) == f"{taken}-2"
    assert number_of(other) == taken


def test_a_number_fits_its_column(people: People) -> None:
    repair = planned_repair(people)
    repair.number = "R" * 20
    repair.project.code = "P" * 20

    number = number_of(repair)

    assert number.startswith("QR-PPP")
    assert len(number) <= (Certificate._meta.get_field("number").max_length or 0)
