"""Nonconformance reports at their pages: reported, dealt with by whose turn it is, and closed."""

from typing import Any

import pytest

from qc.engine.lifecycle import Status
from qc.engine.nonconformance import Disposition, ReportDeed, ReportState
from qc.engine.plan import Party
from qc.records.models import Handling, Inspection, Nonconformance, Repair
from qc.records.reports import reports_of
from tests.factories import (
    AMBIENT,
    HARDNESS,
    THICKNESS,
    record,
    repair_at,
    repair_on_site,
)
from tests.people import People
from tests.reports import C, K, N, agree_rework, concede, deal, propose, verify
from tests.web.visitor import sent, signed_in, text_of

THIN = [{"values": ["4 mm", "6 mm"]}]


@pytest.fixture
def thin(people: People) -> Repair:
    """A repair on site whose filler is too thin at one spot."""
    repair = repair_on_site(people)
    record(people, repair, THICKNESS, THIN)
    return repair


def address(repair: Repair, number: int = 1) -> str:
    return f"/repairs/{repair.pk}/reports/{number}/"


def ways(page: Any) -> dict[str, Any]:
    return {way["name"]: way["form"] for way in page.context["ways"]}


def go(people: People, repair: Repair, party: Party, way: str, **typed: Any) -> Any:
    """Open the report, enter `typed` in the form of one way and send it."""
    client = signed_in(people.of(party))
    form = ways(client.get(address(repair)))[way]
    named = {f"{way}_{name}": value for name, value in typed.items()}
    data = _sent(form, named)
    return client.post(f"{address(repair)}{way}/", data, follow=True)


def _sent(form: Any, typed: dict[str, Any]) -> dict[str, Any]:
    data = {
        form.add_prefix(name): "" if form[name].value() is None else str(form[name].value())
        for name in form.fields
    }
    return data | {name.replace("_", "-", 1): value for name, value in typed.items()}


def state(repair: Repair, number: int = 1) -> ReportState:
    return reports_of(repair)[number - 1].state


def test_a_report_shows_what_was_found_with_the_limit_and_the_readings(
    people: People, thin: Repair
) -> None:
    words = text_of(signed_in(people.carl).get(address(thin)))

    for said in ("Nonconformance report 1", "Open", "Step 3, Filler thickness", "4.00 mm", "5 mm"):
        assert said in words
    assert "A verdict that does not conform" in words
    assert "Ines Dunmore (inspector)" in words
    assert "Your turn: say what keeps it from going further." in words


@pytest.mark.parametrize(
    ("party", "open_to"), [(N, {"contain"}), (K, {"contain"}), (C, set())], ids=str
)
def test_each_party_is_offered_its_own_deeds_only(
    people: People, thin: Repair, party: Party, open_to: set[str]
) -> None:
    page = signed_in(people.of(party)).get(address(thin))

    assert set(ways(page)) == open_to


def test_a_rework_is_taken_through_its_pages_by_three_people(people: People, thin: Repair) -> None:
    go(people, thin, K, "contain", text="Spot chalked off")
    go(people, thin, K, "propose", disposition="rework", text="Build up, same mix")
    go(people, thin, N, "approve")
    go(people, thin, K, "implement", text="Built up")
    assert "reinspect" not in ways(signed_in(people.ines).get(address(thin)))
    assert "Record the new readings" in text_of(signed_in(people.ines).get(address(thin)))
    record(people, thin, THICKNESS, rework="Built up")
    go(people, thin, N, "reinspect")
    page = go(people, thin, N, "close")

    assert state(thin) is ReportState.CLOSED
    deeds = [handling.deed for handling in Handling.objects.all()]
    assert deeds == ["contain", "propose", "approve", "implement", "reinspect", "close"]
    assert "The report is closed." in text_of(page)
    assert set(ways(page)) == {"reopen"}


def test_use_as_is_needs_scope_and_last_day(people: People, thin: Repair) -> None:
    propose(people, thin, Disposition.USE_AS_IS)
    page = go(people, thin, C, "approve", concession_scope="", concession_until="")

    assert "Say what the concession covers." in text_of(page)
    assert "Give the last day of the concession." in text_of(page)
    assert state(thin) is ReportState.PROPOSED


def test_a_concession_that_is_past_is_refused_beside_its_day(people: People, thin: Repair) -> None:
    propose(people, thin, Disposition.USE_AS_IS)
    page = go(
        people, thin, C, "approve", concession_scope="One spot", concession_until="2020-01-01"
    )

    assert page.status_code == 409
    form = ways(page)["approve"]
    assert "is past" in form.errors["concession_until"][0]


def test_a_granted_concession_shows_at_step_gate_and_report(people: People, thin: Repair) -> None:
    propose(people, thin, Disposition.USE_AS_IS)
    words = text_of(
        go(people, thin, C, "approve", concession_scope="One spot", concession_until="2099-01-31")
    )

    assert "One spot" in words and "31 Jan 2099" in words
    assert "Clara Kestle (client)" in words
    assert "Accepted by concession" in text_of(signed_in(people.ines).get(f"/repairs/{thin.pk}/"))


def test_the_client_decides_on_the_verdict_that_stands(people: People, thin: Repair) -> None:
    """New readings arrive between opening the page and granting: the old form is refused."""
    propose(people, thin, Disposition.USE_AS_IS)
    client = signed_in(people.clara)
    form = ways(client.get(address(thin)))["approve"]
    record(people, thin, THICKNESS, THIN, rework="Tried again")
    typed = {"approve_concession_scope": "One spot", "approve_concession_until": "2099-01-31"}
    page = client.post(f"{address(thin)}approve/", _sent(form, typed))

    assert page.status_code == 409
    assert "Another verdict stands by now" in text_of(page)
    newest = Inspection.objects.latest("id").pk
    assert ways(page)["approve"]["inspection_id"].value() == newest


def test_a_mistyped_reading_is_closed_by_its_correction(people: People, thin: Repair) -> None:
    assert "correct" not in ways(signed_in(people.ines).get(address(thin)))
    correct(people, thin)
    page = go(people, thin, N, "correct", text="4 typed for 6")

    assert state(thin) is ReportState.CLOSED
    assert "corrected entry" in text_of(page)


def correct(people: People, repair: Repair) -> None:
    """The inspector sets the thin spot right: it was mistyped."""
    from qc.workflow import Observation, correct_inspection
    from tests.factories import NOON, act_on, instrument

    wrong = Inspection.objects.latest("id")
    used = [instrument(people, "depth_gauge").pk]
    correct_inspection(
        repair_id=repair.pk,
        position=THICKNESS,
        inspection_id=wrong.pk,
        reason="4 typed for 6",
        observation=Observation(
            readings=[{"values": ["6 mm", "6 mm"]}], observed_at=NOON, instruments=used
        ),
        **act_on(people, N),
    )


@pytest.mark.parametrize("party", list(Party))
def test_anybody_reports_what_they_saw(people: People, party: Party) -> None:
    repair = repair_on_site(people)
    client = signed_in(people.of(party))
    url = f"/repairs/{repair.pk}/reports/"
    form = client.get(url).context["form"]
    page = client.post(url, sent(form, statement="Dent beside the wrap", position="1"), follow=True)

    assert page.redirect_chain == [(address(repair), 302)]
    assert "Dent beside the wrap" in text_of(page)
    report = Nonconformance.objects.get()
    assert (report.origin, report.party, report.step and report.step.position) == (
        "observation",
        party,
        AMBIENT,
    )


def test_a_report_without_words_is_not_opened(people: People) -> None:
    repair = repair_on_site(people)
    client = signed_in(people.carl)
    url = f"/repairs/{repair.pk}/reports/"
    page = client.post(url, sent(client.get(url).context["form"], statement=" "))

    assert "Say what does not conform." in text_of(page)
    assert not Nonconformance.objects.exists()


def test_a_report_sent_twice_is_opened_once(people: People) -> None:
    repair = repair_on_site(people)
    client = signed_in(people.carl)
    url = f"/repairs/{repair.pk}/reports/"
    data = sent(client.get(url).context["form"], statement="Dent")
    answers = [client.post(url, data) for _ in range(2)]

    assert [answer.headers["Location"] for answer in answers] == [address(repair)] * 2
    assert Nonconformance.objects.count() == 1


def test_work_past_a_hold_is_reported_from_the_step_it_stops(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS)
    ines = signed_in(people.ines)
    step = ines.get(f"/repairs/{repair.pk}/steps/{HARDNESS}/")
    url = step.context["passed_url"]
    form = ines.get(url.partition("#")[0]).context["form"]
    assert (form["origin"].value(), form["position"].value()) == ("hold", str(THICKNESS))

    reports = f"/repairs/{repair.pk}/reports/"
    ines.post(reports, sent(form, statement="The wrap went on before the release"))

    assert Nonconformance.objects.get().origin == "hold"
    assert ines.get(f"/repairs/{repair.pk}/steps/{HARDNESS}/").context["form"] is not None


def test_a_report_while_it_is_signed_says_that_the_signatures_are_void(people: People) -> None:
    repair = repair_at(people, Status.WITH_CLIENT)
    client = signed_in(people.clara)
    url = f"/repairs/{repair.pk}/reports/"
    page = client.get(url)
    assert "signatures given so far no longer count" in text_of(page)
    answer = client.post(url, sent(page.context["form"], statement="Loose band"), follow=True)

    assert "The signatures no longer count: the record is back on site." in text_of(answer)
    signing = text_of(client.get(f"/repairs/{repair.pk}/sign/"))
    assert "Nonconformance report 1 was opened" in signing
    assert "No longer counts." in signing


def test_the_gate_and_the_list_lead_to_the_report(people: People, thin: Repair) -> None:
    carl = signed_in(people.carl)

    for url in (f"/repairs/{thin.pk}/", "/", f"/repairs/{thin.pk}/steps/{THICKNESS}/"):
        assert address(thin) in carl.get(url).content.decode(), url


@pytest.mark.parametrize("url", ["reports/", "reports/1/"])
def test_a_stranger_finds_no_report(people: People, thin: Repair, url: str) -> None:
    assert signed_in(people.olu).get(f"/repairs/{thin.pk}/{url}").status_code == 404


@pytest.mark.parametrize("way", ["approve", "close", "correct", "nothing"])
def test_a_deed_of_another_is_refused_or_not_there(people: People, thin: Repair, way: str) -> None:
    answer = signed_in(people.clara).post(f"{address(thin)}{way}/", {})

    assert answer.status_code in (200, 404, 409)
    assert not Handling.objects.exists()


def test_a_report_that_is_not_there_is_not_found(people: People, thin: Repair) -> None:
    assert signed_in(people.ines).get(address(thin, 2)).status_code == 404


def test_a_report_once_released_puts_the_certificate_under_review(people: People) -> None:
    from qc.certificate.issue import issue_certificate
    from tests.factories import act_on

    repair = repair_at(people, Status.APPROVED)
    issue_certificate(repair_id=repair.pk, **act_on(people, C))
    clara = signed_in(people.clara)
    url = f"/repairs/{repair.pk}/reports/"
    clara.post(url, sent(clara.get(url).context["form"], statement="Leak seen"))

    page = text_of(clara.get(f"/repairs/{repair.pk}/"))
    assert "Released, under review" in page
    assert "The certificate is under review" in page
    concede(people, repair)
    deal(people, repair, ReportDeed.CLOSE, N)
    assert "under review" not in text_of(clara.get(f"/repairs/{repair.pk}/"))


def test_the_history_names_every_hand(people: People, thin: Repair) -> None:
    agree_rework(people, thin)
    record(people, thin, THICKNESS, rework="Built up")
    verify(people, thin)
    words = text_of(signed_in(people.clara).get(address(thin)))

    for said in (
        "Carl Vale (contractor) contained it",
        "proposed rework",
        "Ines Dunmore (inspector) approved rework",
        "did the work",
        "re-inspected it",
        "closed the report",
    ):
        assert said in words
