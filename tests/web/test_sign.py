"""The check page before a signature, the signature with the password again, and sending back."""

from datetime import date
from typing import Any

import pytest

from qc.certificate.job import Unprintable
from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.records.models import Certificate, Instrument, Repair, Return, Signature
from qc.workflow import add_calibration
from qc.workflow.document import record_digest
from tests.factories import (
    AMBIENT,
    HARDNESS,
    SIGNED_BY,
    act_on,
    finished_repair,
    planned_repair,
    record,
    repair_at,
    repair_on_site,
)
from tests.people import PASSWORD, People
from tests.web.visitor import enter, sent, signed_in, text_of

TURNS = {
    Party.INSPECTOR: Status.ON_SITE,
    Party.CONTRACTOR: Status.INSPECTED,
    Party.CLIENT: Status.WITH_CLIENT,
}
"""The status at which each party signs."""


def ready(people: People, party: Party) -> Repair:
    """A repair that `party` can sign now."""
    if party is Party.INSPECTOR:
        return finished_repair(people)
    return repair_at(people, TURNS[party])


def address(repair: Repair, page: str = "sign") -> str:
    return f"/repairs/{repair.pk}/{page}/"


def sign(people: People, repair: Repair, party: Party, password: str = PASSWORD) -> Any:
    """The person of `party` types the password on the check page and sends it."""
    return enter(signed_in(people.of(party)), address(repair), password=password)


def unprintable(**facts: Any) -> None:
    raise Unprintable("The document could not be made.")


@pytest.mark.parametrize("party", list(TURNS))
def test_the_check_page_shows_all_that_is_signed(people: People, party: Party) -> None:
    repair = ready(people, party)
    words = text_of(signed_in(people.of(party)).get(address(repair)))
    for said in (
        "1. Ambient conditions",
        "Least margin of the steel above the dew point: 3 °C",
        "12 May 2026 12:00",
        "5.6, 6.1, 5.2",
        "78, 80, 79, 81, 76",
        "Photograph of the gauge",
        "Released by Clara Kestle",
        "6-CW-118",
        "168.3 mm",
        "Pinhole leak, 4 mm",
        record_digest(repair),
    ):
        assert said in words, said


@pytest.mark.parametrize("party", [Party.INSPECTOR, Party.CONTRACTOR])
def test_the_password_signs_what_was_shown(people: People, party: Party) -> None:
    repair = ready(people, party)
    shown = record_digest(repair)
    page = sign(people, repair, party)
    assert page.redirect_chain == [(f"/repairs/{repair.pk}/", 302)]
    assert f"You have signed for the {party}." in text_of(page)
    signature = Signature.objects.get(repair=repair, party=party)
    assert (signature.signed_by, signature.record_digest) == (people.of(party), shown)


@pytest.mark.parametrize(
    ("party", "meaning", "label"),
    [
        (Party.INSPECTOR, "Inspected and recorded as stated", "Sign the inspection"),
        (Party.CONTRACTOR, "Work done as recorded", "Sign the work"),
        (Party.CLIENT, "Record approved", "Approve the record"),
    ],
)
def test_the_page_says_what_the_signature_means(
    people: People, party: Party, meaning: str, label: str
) -> None:
    words = text_of(signed_in(people.of(party)).get(address(ready(people, party))))
    assert meaning in words
    assert label in words


def test_a_wrong_password_is_told_at_its_field_and_signs_nothing(people: People) -> None:
    repair = finished_repair(people)
    page = sign(people, repair, Party.INSPECTOR, "tide-table")
    assert page.status_code == 409
    assert page.context["form"].errors == {"password": ["The password is not right."]}
    assert "tide-table" not in page.content.decode()
    assert not Signature.objects.exists()


def test_after_a_wrong_password_the_same_form_signs(people: People) -> None:
    repair, client = finished_repair(people), signed_in(people.ines)
    wrong = enter(client, address(repair), password="tide-table")
    client.post(address(repair), sent(wrong.context["form"], password=PASSWORD))
    assert Signature.objects.count() == 1


def test_an_empty_password_is_asked_for(people: People) -> None:
    page = sign(people, finished_repair(people), Party.INSPECTOR, "")
    assert "Enter your password." in text_of(page)
    assert not Signature.objects.exists()


def test_a_record_that_changed_meanwhile_is_not_signed_and_then_shown_as_it_is(
    people: People,
) -> None:
    repair, client = finished_repair(people), signed_in(people.ines)
    data = sent(client.get(address(repair)).context["form"], password=PASSWORD)
    record(people, repair, AMBIENT)
    page = client.post(address(repair), data)
    assert page.status_code == 409
    assert "The record has changed since you opened it: read it again." in text_of(page)
    assert not Signature.objects.exists()
    client.post(address(repair), sent(page.context["form"], password=PASSWORD))
    assert Signature.objects.get().record_digest == record_digest(repair)


def test_sent_twice_it_is_signed_once(people: People) -> None:
    repair, client = finished_repair(people), signed_in(people.ines)
    data = sent(client.get(address(repair)).context["form"], password=PASSWORD)
    assert [client.post(address(repair), data).status_code for _ in range(2)] == [302, 302]
    assert Signature.objects.count() == 1


def test_while_anything_is_open_the_button_is_greyed_with_every_reason(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    page = signed_in(people.ines).get(address(repair))
    words = text_of(page)
    assert page.context["form"] is None
    assert 'aria-disabled="true" class="main">Sign the inspection' in page.content.decode()
    assert 'type="password"' not in page.content.decode()
    assert len(page.context["reasons"]) == 6
    assert all(words.count(reason) >= 2 for reason in page.context["reasons"])


def test_one_open_thing_is_enough_to_refuse(people: People) -> None:
    repair = finished_repair(people)
    client = signed_in(people.ines)
    data = sent(client.get(address(repair)).context["form"], password=PASSWORD)
    record(people, repair, HARDNESS, [{"values": ["60", "61", "60", "62", "61"]}])
    page = client.post(address(repair), data)
    assert page.status_code == 409
    assert "the latest verdict does not conform" in text_of(page)
    assert not Signature.objects.exists()


def test_a_record_changed_since_the_others_signed_can_only_be_returned(people: People) -> None:
    repair = repair_at(people, Status.WITH_CLIENT)
    client = signed_in(people.clara)
    data = sent(client.get(address(repair)).context["form"], password=PASSWORD)
    add_calibration(
        project_id=people.project.pk,
        instrument_id=Instrument.objects.earliest("pk").pk,
        certificate="C-late",
        calibrated_on=date(2026, 5, 1),
        due_on=date(2027, 4, 30),
        **act_on(people, Party.CONTRACTOR),
    )
    page = client.get(address(repair))
    words = text_of(page)
    assert page.context["form"] is None
    for party in ("inspector", "contractor"):
        assert f"The record has changed since the {party} signed it: return it" in words
    assert "Return it with a reason" in words
    data["seen_digest"] = record_digest(repair)
    refused = client.post(address(repair), data)
    assert refused.status_code == 409
    assert not Signature.objects.filter(party="client").exists()


@pytest.mark.parametrize("party", [Party.CONTRACTOR, Party.CLIENT])
def test_who_has_not_the_turn_reads_and_does_not_sign(people: People, party: Party) -> None:
    repair = finished_repair(people)
    page = signed_in(people.of(party)).get(address(repair))
    assert page.context["form"] is None
    assert "The repair is on site: it cannot" in text_of(page)
    data = {"act_id": "6f9619ff-8b86-4d11-b42d-00cf4fc964ff", "password": PASSWORD}
    data["seen_digest"] = record_digest(repair)
    refused = signed_in(people.of(party)).post(address(repair), data)
    assert refused.status_code == 409
    assert not Signature.objects.exists()


def test_a_plan_not_agreed_has_nothing_to_sign(people: People) -> None:
    page = signed_in(people.ines).get(address(planned_repair(people)))
    assert "The repair is planned: it cannot sign inspection now." in text_of(page)


def test_the_signature_of_the_client_makes_the_certificate(people: People) -> None:
    repair = repair_at(people, Status.WITH_CLIENT)
    page = sign(people, repair, Party.CLIENT)
    words = text_of(page)
    assert "You have signed for the client." in words
    assert "The certificate is issued." in words
    repair.refresh_from_db()
    assert repair.stands_at is Status.RELEASED
    assert Certificate.objects.get().repair == repair
    again = signed_in(people.clara).get(address(repair))
    assert "Download the certificate" in text_of(again)


@pytest.mark.parametrize("problem", [unprintable, OSError("no space left")])
def test_a_certificate_that_fails_leaves_the_approval(
    people: People, monkeypatch: pytest.MonkeyPatch, problem: Any
) -> None:
    def fail(**facts: Any) -> None:
        if isinstance(problem, OSError):
            raise problem
        problem(**facts)

    monkeypatch.setattr("qc.web.issuing.issue_certificate", fail)
    repair = repair_at(people, Status.WITH_CLIENT)
    page = sign(people, repair, Party.CLIENT)
    words = text_of(page)
    assert "You have signed for the client." in words
    assert "The certificate could not be made" in words
    assert "The signatures stand." in words
    repair.refresh_from_db()
    assert repair.stands_at is Status.APPROVED
    assert Signature.objects.filter(repair=repair).count() == SIGNED_BY[Status.APPROVED]
    again = signed_in(people.clara).get(address(repair))
    assert "Make the certificate" in text_of(again)


@pytest.mark.parametrize("party", [Party.CONTRACTOR, Party.CLIENT])
def test_instead_of_signing_the_record_goes_back_with_a_reason(
    people: People, party: Party
) -> None:
    repair = ready(people, party)
    client = signed_in(people.of(party))
    assert "Return it with a reason" in text_of(client.get(address(repair)))
    reason = "Step 3: measure at 6 o'clock as well"
    page = enter(client, address(repair, "return"), reason=reason)
    assert page.redirect_chain == [(f"/repairs/{repair.pk}/", 302)]
    repair.refresh_from_db()
    assert repair.stands_at is Status.ON_SITE
    assert Return.objects.get().reason == reason
    words = text_of(signed_in(people.ines).get(address(repair)))
    assert reason in words
    assert "No longer counts." in words


@pytest.mark.parametrize(
    ("reason", "words"),
    [
        ("  ", "Say what has to be put right before you sign."),
        ("x" * 1001, "Why it goes back: 1001 characters are more than 1000."),
    ],
)
def test_a_return_without_a_fit_reason_is_not_made(people: People, reason: str, words: str) -> None:
    repair = repair_at(people, Status.WITH_CLIENT)
    page = enter(signed_in(people.clara), address(repair, "return"), reason=reason)
    assert words in text_of(page)
    assert reason.strip() in page.content.decode()
    assert not Return.objects.exists()


@pytest.mark.parametrize("party", list(Party))
def test_who_has_not_the_turn_does_not_return_it(people: People, party: Party) -> None:
    repair = finished_repair(people)
    client = signed_in(people.of(party))
    assert "Return it with a reason" not in text_of(client.get(address(repair)))
    page = client.get(address(repair, "return"))
    assert page.status_code == 409
    assert "The repair is on site: it cannot return repair now." in text_of(page)


def test_a_reason_typed_too_late_is_not_lost(people: People) -> None:
    repair = repair_at(people, Status.WITH_CLIENT)
    client = signed_in(people.clara)
    form = client.get(address(repair, "return")).context["form"]
    other = client.get(address(repair, "return")).context["form"]
    client.post(address(repair, "return"), sent(form, reason="first"))
    page = client.post(address(repair, "return"), sent(other, reason="and a second thing"))
    assert page.status_code == 409
    assert "and a second thing" in page.content.decode()
