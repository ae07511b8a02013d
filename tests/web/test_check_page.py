"""The public page of a certificate: how it stands now, to whoever holds its code."""

import json
import re
from typing import Any
from unittest import mock

import pytest
from django.test import Client

from qc.certificate import issue
from qc.certificate.issue import check_address, issue_certificate
from qc.certificate.page import render_html
from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.records.check_code import ALPHABET, as_kept, new_check_code
from qc.records.models import Certificate, Repair
from qc.web.views.check import MOST_A_MINUTE
from qc.workflow import recall_batch, report_nonconformance
from tests.factories import FILLER, THICKNESS, act_on, repair_at
from tests.people import People
from tests.web.visitor import text_of
from tests.workflow.doubting import LATER, concede, fail


@pytest.fixture
def released(people: People) -> Repair:
    """A repair whose certificate is issued."""
    repair = repair_at(people, Status.APPROVED)
    with mock.patch.object(issue, "render_pdf", return_value=b"%PDF-1.7\n%%EOF"):
        issue_certificate(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    repair.refresh_from_db()
    return repair


@pytest.fixture(autouse=True)
def counted_from_nothing(settings: Any, tmp_path: Any) -> None:
    settings.CACHES = {
        "default": {**settings.CACHES["default"], "LOCATION": tmp_path / "cache"},
    }


def page_of(repair: Repair) -> Any:
    return Client().get(f"/check/{repair.certificates.get().check_code}/")


def test_anybody_with_the_code_sees_what_the_paper_shows(released: Repair) -> None:
    certificate, page = released.certificates.get(), page_of(released)

    words = text_of(page)
    assert page.status_code == 200
    for shown in (certificate.number, "Revision 1", "6-CW-118", "12 May 2026 12:00", "Valid"):
        assert shown in words
    assert str(certificate.check_code) in words


def test_it_shows_nothing_else(people: People, released: Repair) -> None:
    words = page_of(released).content.decode()

    for secret in (released.title, people.project.title, "Ines", "Carl", "Clara", "Terminal"):
        assert secret not in words
    assert "/repairs/" not in words


def test_no_search_engine_and_no_cache_keeps_it(released: Repair) -> None:
    page = page_of(released)

    assert page.headers["X-Robots-Tag"] == "noindex, nofollow"
    assert page.headers["Cache-Control"] == "no-store"
    assert '<meta name="robots" content="noindex, nofollow">' in page.content.decode()


def test_a_failed_check_puts_it_under_review_and_a_concession_back(
    people: People, released: Repair
) -> None:
    used = released.inspections.get(step__position=THICKNESS).instrument_uses.get().instrument
    fail(people, used)
    words = text_of(page_of(released))
    assert "Under review" in words
    assert "Do not rely on it" in words
    assert used.identifier not in words

    concede(people, released, 1)
    assert "Under review" not in text_of(page_of(released))


def test_a_recalled_batch_puts_it_under_review(people: People, released: Repair) -> None:
    used = released.inspections.get(step__position=FILLER).batch_uses.get().batch
    recall_batch(
        project_id=people.project.pk,
        batch_id=used.pk,
        reason="short",
        **act_on(people, Party.CONTRACTOR, LATER),
    )

    assert "Under review" in text_of(page_of(released))


def test_an_open_report_puts_it_under_review(people: People, released: Repair) -> None:
    report_nonconformance(
        repair_id=released.pk, statement="Blister", **act_on(people, Party.CLIENT, LATER)
    )

    assert "Under review" in text_of(page_of(released))


def test_a_later_revision_supersedes_it(released: Repair) -> None:
    old = released.certificates.get()
    Certificate.objects.create(
        repair=released,
        number=old.number,
        revision=2,
        check_code=new_check_code(),
        issued_at=LATER,
        snapshot="{}",
        snapshot_digest="0" * 64,
        pdf_digest="0" * 64,
    )
    words = text_of(Client().get(f"/check/{old.check_code}/"))
    assert "Superseded" in words
    assert "Revision 2 has replaced it" in words
    assert "Valid" not in words


@pytest.mark.parametrize("changed", [str.lower, lambda code: code.replace("-", "")])
def test_a_code_is_taken_however_it_is_typed(released: Repair, changed: Any) -> None:
    code = changed(released.certificates.get().check_code)

    assert Client().get(f"/check/{code}/").status_code == 200


UNKNOWN = ["AAAA-AAAA-AAAA-AAAA-AAAA", "AAAA-AAAA-AAAA-AAAA-AAAC", "1", "x" * 500, "0000-O", "%00"]


def test_every_unknown_code_is_answered_alike(released: Repair) -> None:
    answers = [Client().get(f"/check/{code}/") for code in UNKNOWN]

    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.content for answer in answers}) == 1
    assert "No certificate has this code" in text_of(answers[0])


def test_nothing_is_sent_to_it(released: Repair) -> None:
    assert Client().post(f"/check/{released.certificates.get().check_code}/").status_code == 405


def test_too_many_codes_from_one_address_are_put_off_and_another_is_not(released: Repair) -> None:
    with mock.patch("qc.web.throttle.time.time", return_value=1_000_000):
        answers = [Client().get("/check/none/").status_code for _ in range(MOST_A_MINUTE + 1)]
        code = released.certificates.get().check_code
        elsewhere = Client(REMOTE_ADDR="203.0.113.7").get(f"/check/{code}/")
        here = Client().get(f"/check/{code}/")
    assert answers == [404] * MOST_A_MINUTE + [429]
    assert elsewhere.status_code == 200
    assert here.status_code == 429
    assert released.certificates.get().number not in text_of(here)
    assert Client().get(f"/check/{code}/").status_code == 200


def test_a_code_cannot_be_guessed_and_its_signs_not_mistaken() -> None:
    codes = {new_check_code() for _ in range(500)}

    assert len(codes) == 500
    assert all(re.fullmatch(rf"([{ALPHABET}]{{4}}-){{4}}[{ALPHABET}]{{4}}", code) for code in codes)
    assert len(ALPHABET) ** 20 >= 2**80
    assert not set("ILO01UB8S5Z2QG") & set(ALPHABET)
    assert all(as_kept(code) == code for code in codes)


def test_the_certificate_prints_its_code_and_with_an_address_its_picture(
    released: Repair, settings: Any
) -> None:
    certificate = released.certificates.get()
    snapshot = json.loads(certificate.snapshot)
    html = render_html(snapshot)
    assert str(certificate.check_code) in html
    assert "QR code" not in html

    settings.PUBLIC_ADDRESS = "https://record.example.org"
    address = check_address(str(certificate.check_code))
    assert address == f"https://record.example.org/check/{certificate.check_code}/"
    snapshot["certificate"]["check_address"] = address
    html = render_html(snapshot)
    assert f'alt="QR code of the address {address}"' in html
    assert "data:image/svg+xml" in html
