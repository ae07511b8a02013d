"""The certificate as a file, and making it where that failed at first."""

from typing import Any
from uuid import uuid4

import pytest

from qc.certificate.issue import issue_certificate
from qc.certificate.job import Unprintable
from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.records.models import Certificate, Repair
from tests.factories import act_on, repair_at
from tests.people import People
from tests.web.visitor import sent, signed_in, text_of


def address(repair: Repair) -> str:
    return f"/repairs/{repair.pk}/certificate/"


def make(people: People, repair: Repair, party: Party, act_id: str = "") -> Any:
    """The person of `party` presses the button that makes the certificate."""
    data = {"act_id": act_id or str(uuid4())}
    return signed_in(people.of(party)).post(f"{address(repair)}make/", data, follow=True)


def test_every_party_gets_the_file_under_its_number(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)
    issue_certificate(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    number = Certificate.objects.get().number
    for party in Party:
        response = signed_in(people.of(party)).get(address(repair))
        assert response.content.startswith(b"%PDF-")
        assert response.headers["Content-Type"] == "application/pdf"
        disposition = response.headers["Content-Disposition"]
        assert disposition.startswith(f'attachment; filename="{number}.pdf"')
        assert response.headers["Content-Security-Policy"] == "sandbox; default-src 'none'"
        assert response.headers["Cache-Control"] == "private, no-store"
    assert signed_in(people.olu).get(address(repair)).status_code == 404


@pytest.mark.parametrize("status", [Status.PLANNED, Status.ON_SITE, Status.APPROVED])
def test_before_its_release_there_is_no_file(people: People, status: Status) -> None:
    repair = repair_at(people, status)
    assert signed_in(people.clara).get(address(repair)).status_code == 404


def test_the_client_makes_it_with_the_button_of_the_check_page(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)
    form = signed_in(people.clara).get(f"/repairs/{repair.pk}/sign/").context["make_form"]
    page = make(people, repair, Party.CLIENT, sent(form)["act_id"])
    assert page.redirect_chain == [(f"/repairs/{repair.pk}/", 302)]
    assert "The certificate is issued." in text_of(page)
    repair.refresh_from_db()
    assert repair.stands_at is Status.RELEASED


def test_pressed_twice_it_is_made_once(people: People) -> None:
    repair, act_id = repair_at(people, Status.APPROVED), str(uuid4())
    pages = [make(people, repair, Party.CLIENT, act_id) for _ in range(2)]
    assert [page.status_code for page in pages] == [200, 200]
    assert Certificate.objects.count() == 1


@pytest.mark.parametrize("party", [Party.INSPECTOR, Party.CONTRACTOR])
def test_the_others_have_no_button_and_are_refused(people: People, party: Party) -> None:
    repair = repair_at(people, Status.APPROVED)
    page = signed_in(people.of(party)).get(f"/repairs/{repair.pk}/sign/")
    assert page.context["make_form"] is None
    refused = make(people, repair, party)
    assert refused.status_code == 409
    assert "cannot release certificate; the client can." in text_of(refused)
    assert not Certificate.objects.exists()


@pytest.mark.parametrize("status", [Status.ON_SITE, Status.WITH_CLIENT])
def test_it_is_not_made_before_all_have_signed(people: People, status: Status) -> None:
    page = make(people, repair_at(people, status), Party.CLIENT)
    assert page.status_code == 409
    assert "it cannot release certificate now" in text_of(page)
    assert not Certificate.objects.exists()


def test_a_failure_is_told_and_it_can_be_tried_again(
    people: People, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(**facts: Any) -> None:
        raise Unprintable("It took longer than 120 s.")

    repair = repair_at(people, Status.APPROVED)
    with monkeypatch.context() as patched:
        patched.setattr("qc.web.issuing.issue_certificate", fail)
        page = make(people, repair, Party.CLIENT)
    assert page.redirect_chain == [(f"/repairs/{repair.pk}/sign/", 302)]
    assert "The certificate could not be made: It took longer than 120 s." in text_of(page)
    assert "Make the certificate" in text_of(page)
    assert "The certificate is issued." in text_of(make(people, repair, Party.CLIENT))


def test_it_is_never_made_by_following_a_link(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)
    assert signed_in(people.clara).get(f"{address(repair)}make/").status_code == 405


def test_a_form_without_its_number_leads_back_to_the_button(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)
    page = signed_in(people.clara).post(f"{address(repair)}make/", {}, follow=True)
    assert "Make the certificate" in text_of(page)
    assert not Certificate.objects.exists()
