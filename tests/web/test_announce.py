"""E-mail of what was done at the pages: to whom, when, with which link, and never in the way."""

from dataclasses import replace
from datetime import timedelta
from smtplib import SMTPException
from typing import Any
from uuid import uuid4

import pytest
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend
from django.utils import timezone

from qc.accounts.models import Membership, User
from qc.engine.plan import Party
from qc.ledger.chain import Entry
from qc.records.models import Notice, Repair
from qc.web.announce import announce
from qc.workflow import give_notice, revise_plan
from qc.workflow.document import record_digest
from tests.factories import (
    FILLER,
    SHORT_PLAN,
    act_on,
    finished_repair,
    instrument,
    planned_repair,
    repair_on_site,
)
from tests.people import PASSWORD, People
from tests.web.visitor import enter, signed_in

CALLED = {"needs_notice": True, "notice": "24 hour", "source": "contract"}
WITNESSED = [
    replace(step, points={"client": "witness"}) if step.key == "mixing" else step
    for step in SHORT_PLAN
]


@pytest.fixture(autouse=True)
def addresses(people: People) -> None:
    """Everybody has an address."""
    for user in (people.ines, people.carl, people.clara, people.olu):
        user.email = f"{user.username}@example.org"
        user.save()


@pytest.fixture
def committed(django_capture_on_commit_callbacks: Any) -> Any:
    """What is done inside is committed, so that mails go out."""
    return lambda: django_capture_on_commit_callbacks(execute=True)


def witnessed(people: People) -> Repair:
    return repair_on_site(people, WITNESSED, terms={"witness": CALLED})


def notice_page(repair: Repair) -> str:
    return f"/repairs/{repair.pk}/steps/{FILLER}/points/client/notice/"


def sent() -> list[tuple[list[str], str]]:
    return [(message.to, str(message.subject)) for message in mail.outbox]


def test_a_notice_reaches_the_party_with_its_moment_and_the_link(
    people: People, committed: Any, settings: Any
) -> None:
    settings.PUBLIC_ADDRESS = "https://record.example.org"
    repair = witnessed(people)

    with committed():
        enter(signed_in(people.carl), notice_page(repair), note="Ask at the gate; bring <ID>")

    (message,) = mail.outbox
    assert message.to == ["clara@example.org"]
    assert message.subject.startswith("R-014: notice for ")
    assert message.subject.endswith(", step 2")
    body = str(message.body)
    assert "Carl Vale (contractor) gives the client notice: the work comes to step 2" in body
    assert "Ask at the gate; bring <ID>" in body
    assert f"https://record.example.org/repairs/{repair.pk}/steps/2/" in body


def test_without_a_public_address_the_repair_is_named_instead_of_linked(
    people: People, committed: Any, settings: Any
) -> None:
    settings.PUBLIC_ADDRESS = ""

    with committed():
        enter(signed_in(people.carl), notice_page(witnessed(people)))

    assert "Open R-014 in the repair quality record." in str(mail.outbox[0].body)
    assert "http" not in str(mail.outbox[0].body)


def test_an_acceptance_reaches_those_on_site(people: People, committed: Any) -> None:
    repair, now = witnessed(people), timezone.now()
    entry = give_notice(
        repair_id=repair.pk,
        position=FILLER,
        party=Party.CLIENT,
        scheduled_at=now + timedelta(hours=30),
        note="",
        **act_on(people, Party.CONTRACTOR, now),
    )
    there = f"/repairs/{repair.pk}/steps/2/notices/{entry.stated(Notice)[0]['id']}/accept/"

    with committed():
        signed_in(people.clara).post(there, {"act_id": str(uuid4())})

    assert sorted(to[0] for to, _ in sent()) == ["carl@example.org", "ines@example.org"]
    assert all("R-014: the client comes on " in subject for _, subject in sent())


def test_what_is_refused_or_sent_twice_is_not_announced_again(
    people: People, committed: Any
) -> None:
    repair = witnessed(people)
    carl = signed_in(people.carl)
    form = carl.get(notice_page(repair)).context["form"]
    moment = form["scheduled_at"].value()
    data = {"act_id": str(uuid4()), "scheduled_at": f"{moment:%Y-%m-%dT%H:%M}", "note": ""}

    with committed():
        carl.post(notice_page(repair), data | {"scheduled_at": "2020-01-01T08:00"})
    assert mail.outbox == []
    with committed():
        carl.post(notice_page(repair), data)
        carl.post(notice_page(repair), data)
    assert len(mail.outbox) == 1


def test_nothing_is_sent_before_the_act_is_on_record(people: People) -> None:
    enter(signed_in(people.carl), notice_page(witnessed(people)))

    assert Notice.objects.exists()
    assert mail.outbox == []


def test_only_active_members_of_the_party_with_an_address_are_written_to(
    people: People, committed: Any
) -> None:
    repair = witnessed(people)
    for name, email, is_active in (
        ("cora", "cora@example.org", True),
        ("gone", "gone@example.org", False),
        ("mute", "", True),
    ):
        user = User.objects.create_user(name, email=email, is_active=is_active)
        Membership.objects.create(project=people.project, user=user, party="client")

    with committed():
        enter(signed_in(people.carl), notice_page(repair))

    assert sorted(to[0] for to, _ in sent()) == ["clara@example.org", "cora@example.org"]


def test_an_opened_report_reaches_the_other_parties(people: People, committed: Any) -> None:
    steps = [SHORT_PLAN[3]]
    repair = repair_on_site(people, steps)
    durometer = instrument(people, "durometer")
    ines, there = signed_in(people.ines), f"/repairs/{repair.pk}/steps/1/"
    form = ines.get(there).context["form"]
    assert form is not None

    with committed():
        enter_failing(ines, there, durometer.pk)

    assert repair.nonconformances.count() == 1
    assert sorted(to[0] for to, _ in sent()) == ["carl@example.org", "clara@example.org"]
    assert {subject for _, subject in sent()} == {"R-014: nonconformance report 1 was opened"}


def enter_failing(client: Any, there: str, durometer: int) -> None:
    form = client.get(there).context["form"]
    name = next(name for name in form.fields if name.endswith("-values"))
    data = {
        "act_id": str(uuid4()),
        "observed_at": f"{form['observed_at'].value():%Y-%m-%dT%H:%M}",
        "instruments": [durometer],
        **{f"{name}_{box}": "40" for box in range(5)},
        **{k: v for k, v in hidden(form).items() if k != "act_id"},
    }
    answer = client.post(there, data)
    assert answer.status_code == 302, answer.context["form"].errors


def hidden(form: Any) -> dict[str, Any]:
    return {field.name: field.value() for field in form.hidden_fields()}


def test_a_draft_waits_for_the_client(people: People, committed: Any) -> None:
    repair = planned_repair(people)
    entry = revise_plan(
        repair_id=repair.pk,
        steps=SHORT_PLAN[:3],
        reason="Cut to the job",
        **act_on(people, Party.CONTRACTOR),
    )

    with committed():
        announce(entry)

    subject = "R-014: plan revision 3 waits for your agreement"
    assert sent() == [(["clara@example.org"], subject)]


def test_an_entry_of_a_register_concerns_no_repair(people: People, committed: Any) -> None:
    instrument(people, "durometer")

    with committed():
        for entry in Entry.objects.filter(kind="register"):
            announce(entry)

    assert mail.outbox == []


def test_the_next_signer_is_written_to(people: People, committed: Any) -> None:
    repair = finished_repair(people)
    ines = signed_in(people.ines)

    with committed():
        data = {
            "act_id": str(uuid4()),
            "password": PASSWORD,
            "seen_digest": record_digest(repair),
        }
        assert ines.post(f"/repairs/{repair.pk}/sign/", data).status_code == 302

    assert sent() == [(["carl@example.org"], "R-014: the record waits for your signature")]


@pytest.mark.parametrize("problem", [SMTPException("no"), ConnectionRefusedError("no")])
def test_a_mail_server_that_is_down_is_logged_and_stops_nothing(
    people: People,
    committed: Any,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
    problem: Exception,
) -> None:
    def fail(self: EmailBackend, messages: Any) -> int:
        raise problem

    monkeypatch.setattr(EmailBackend, "send_messages", fail)

    with committed():
        page = enter(signed_in(people.carl), notice_page(witnessed(people)))

    assert page.status_code == 200
    assert Notice.objects.count() == 1
    assert "Mail on give_notice of R-014 was not sent: no" in caplog.text


def test_a_title_over_two_lines_makes_no_second_header(people: People, committed: Any) -> None:
    repair = witnessed(people)
    Repair.objects.filter(pk=repair.pk).update(number="R-1\nBcc: x@y")

    with committed():
        enter(signed_in(people.carl), notice_page(repair))

    assert "\n" not in mail.outbox[0].subject
    assert mail.outbox[0].recipients() == ["clara@example.org"]
