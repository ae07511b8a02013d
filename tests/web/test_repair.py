"""The page of a repair: its steps as a rail, what comes next, how far it is from release."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from qc.accounts.models import Membership, User
from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.records.models import Repair
from qc.workflow import return_repair
from tests.factories import (
    AMBIENT,
    FILLER,
    HARDNESS,
    SHORT_PLAN,
    THICKNESS,
    act_on,
    batch,
    finish,
    finished_repair,
    instrument,
    planned_repair,
    put_signature,
    record,
    repair_at,
    repair_on_site,
)
from tests.people import People
from tests.web.visitor import signed_in, text_of


def page_of(repair: Repair, user: User) -> Any:
    return signed_in(user).get(f"/repairs/{repair.pk}/")


def test_the_head_says_what_is_repaired_and_for_whom(people: People) -> None:
    said = text_of(page_of(planned_repair(people), people.ines))
    for fact in (
        "R-014 Wrap over sealed leak",
        "6-CW-118",
        "168.3 mm",
        "Pinhole leak, 4 mm",
        "Saltmarsh Quay Terminal",
        "Inspector, Saltmarsh Quay Inspection",
        "Planned",
    ):
        assert fact in said


def test_every_step_stands_in_order_with_its_outcome_and_leads_to_its_page(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    record(people, repair, FILLER)
    page = page_of(repair, people.ines)
    steps = page.context["steps"]
    assert [step["state"] for step in steps] == [
        "conforms",
        "conforms",
        "not_started",
        "held",
    ]
    assert [step["current"] for step in steps] == [False, False, True, False]
    for step in steps:
        assert f'href="{step["url"]}"' in page.content.decode()
    assert "Hold point, client: open" in text_of(page)


def test_the_inspector_has_one_thing_to_do_next(people: People) -> None:
    repair = repair_on_site(people)
    page = page_of(repair, people.ines)
    assert page.content.decode().count('class="button main"') == 1
    assert f'class="button main" href="/repairs/{repair.pk}/steps/1/">Record step 1' in (
        page.content.decode()
    )


def test_who_has_not_the_turn_sees_who_has(people: People) -> None:
    repair = planned_repair(people)
    page = page_of(repair, people.carl)
    assert "The client has the turn: to agree the plan." in text_of(page)
    assert b'class="button main"' not in page.content


def test_the_gate_lists_everything_open_with_the_way_there_and_who_clears_it(
    people: People,
) -> None:
    repair = repair_on_site(people)
    page = page_of(repair, people.carl)
    listed = [(b["what"], b["url"], b["who"]) for b in page.context["blockers"]]
    here = f"/repairs/{repair.pk}"
    assert (
        "Step 1, Ambient conditions: nothing has been recorded.",
        f"{here}/steps/1/",
        "the inspector",
    ) in listed
    assert (
        "Step 3, Filler thickness: hold point of the client is open.",
        f"{here}/steps/3/",
        "the client: Clara Kestle",
    ) in listed
    assert (
        "Step 3, Filler thickness: evidence missing: Photograph of the gauge.",
        f"{here}/evidence/#step-3",
        "you",
    ) in listed
    assert f"Release is held: {len(listed)} things open" in text_of(page)


def test_the_clients_own_points_lead_to_where_they_are_closed(people: People) -> None:
    repair = repair_on_site(people)
    page = page_of(repair, people.clara)
    addresses = [b["url"] for b in page.context["blockers"] if b["who"].startswith("you")]
    assert addresses == [f"/repairs/{repair.pk}/steps/{n}/point/" for n in (THICKNESS, HARDNESS)]


def test_a_blocker_says_by_which_rule_it_stands(people: People) -> None:
    terms = {"hold": {"code": "HP", "wording": "Hold: nobody goes on"}}
    repair = repair_on_site(people, terms=terms)

    rules = {b["what"]: b["rule"] for b in page_of(repair, people.carl).context["blockers"]}

    assert rules["Step 3, Filler thickness: hold point of the client is open."] == (
        "HP: Hold: nobody goes on"
    )
    assert rules["Step 1, Ambient conditions: nothing has been recorded."] == (
        "Every step of the plan is recorded before the release."
    )
    assert all(rules.values())


@pytest.mark.parametrize("is_listed", [True, False])
def test_a_hold_names_the_persons_who_are_listed_to_release_it(
    people: People, is_listed: bool
) -> None:
    repair = repair_on_site(people)
    Membership.objects.filter(user=people.clara).update(releases_holds=is_listed)
    hold = "Step 3, Filler thickness: hold point of the client is open."

    who = {
        person: {b["what"]: b["who"] for b in page_of(repair, person).context["blockers"]}[hold]
        for person in (people.clara, people.carl)
    }

    if is_listed:
        assert who[people.clara] == "you, who are listed to release the holds"
        assert who[people.carl] == "the client: Clara Kestle"
    else:
        nobody = "the client: nobody is listed yet to release its holds"
        assert set(who.values()) == {nobody}


def test_the_way_to_the_release_is_told_from_the_first_day_to_the_last(people: People) -> None:
    planned = page_of(planned_repair(people), people.carl)
    assert (
        "To the release: 4 steps, 2 points, 1 piece of evidence and 3 signatures to go."
        in text_of(planned)
    )
    finished = repair_on_site(people, number="R-2")
    finish(people, finished)
    put_signature(people, finished, Party.INSPECTOR)
    page = page_of(finished, people.carl)
    assert "To the release: 2 signatures to go." in text_of(page)
    assert "Steps accepted 4 of 4" in text_of(page)
    assert "Signatures given 1 of 3" in text_of(page)
    assert page.content.decode().count('<i class="done">') == 4 + 2 + 1 + 1


def test_a_report_lies_on_the_way_too(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, FILLER)
    record(people, repair, THICKNESS, [{"values": ["4 mm"]}])

    assert "Reports closed 0 of 1" in text_of(page_of(repair, people.carl))


def test_an_instrument_out_of_calibration_and_an_expired_batch_are_listed(people: People) -> None:
    repair = repair_on_site(people)
    old = instrument(people, "hygrometer", date(2026, 5, 11), "HY-1")
    record(people, repair, AMBIENT, instruments=[old.pk])
    record(people, repair, FILLER, batches=[batch(people, date(2026, 5, 11)).pk])
    page = page_of(repair, people.carl)
    listed = {b["what"]: b["url"] for b in page.context["blockers"]}
    calibration = next(what for what in listed if "HY-1 was out of calibration" in what)
    assert listed[calibration] == f"/projects/{repair.project_id}/instruments/"
    assert any("after its expiry on 2026-05-11" in what for what in listed)


def test_with_nothing_open_the_signatures_to_come_are_named(people: People) -> None:
    repair = finished_repair(people)
    said = text_of(page_of(repair, people.ines))
    assert "Nothing is open" in said
    assert (
        "To come: the signature of the inspector, then of the contractor, then of the client."
        in said
    )
    put_signature(people, repair, Party.INSPECTOR)
    said = text_of(page_of(repair, people.ines))
    assert "To come: the signature of the contractor, then of the client." in said
    assert "Ines Dunmore Inspected and recorded as stated, for Saltmarsh Quay Inspection" in said


def test_signing_is_greyed_with_its_reasons_until_it_can_be_done(people: People) -> None:
    repair = repair_on_site(people)
    page = page_of(repair, people.ines)
    count = len(page.context["blockers"])
    assert f"Check and sign Things open, as listed: {count}." in text_of(page)
    assert 'aria-disabled="true"' in page.content.decode()
    assert "The repair is on site: it cannot sign work now." in text_of(
        page_of(repair, people.carl)
    )


def test_with_nothing_open_the_page_leads_to_signing(people: People) -> None:
    done = finished_repair(people)
    assert f'href="/repairs/{done.pk}/sign/">Check and sign' in (
        page_of(done, people.ines).content.decode()
    )


@pytest.mark.parametrize("status", [s for s in Status if s is not Status.RELEASED])
def test_each_party_can_read_the_repair_at_any_status(people: People, status: Status) -> None:
    repair = repair_at(people, status)
    for party in Party:
        assert page_of(repair, people.of(party)).status_code == 200


def test_a_return_stands_with_its_reason_and_voids_the_signatures(people: People) -> None:
    repair = repair_at(people, Status.WITH_CLIENT)
    return_repair(
        repair_id=repair.pk, reason="step 3: which station?", **act_on(people, Party.CLIENT)
    )
    page = page_of(repair, people.ines)
    assert "step 3: which station?" in text_of(page)
    assert "Clara Kestle (client)" in text_of(page)
    assert all("name" not in signature for signature in page.context["signatures"])


def test_cautions_of_the_work_stand_on_the_page(people: People) -> None:
    assert "CAUTION" in text_of(page_of(planned_repair(people), people.carl))


def test_the_queries_of_the_page_do_not_grow_with_its_steps(people: People) -> None:
    counts = []
    for copies in (1, 3):
        steps = [
            replace(step, key=f"{step.key}-{n}") for n in range(copies) for step in SHORT_PLAN[:2]
        ]
        repair = planned_repair(people, steps, number=f"R-{copies}")
        ines = signed_in(people.ines)
        with CaptureQueriesContext(connection) as captured:
            ines.get(f"/repairs/{repair.pk}/")
        counts.append(len(captured))
    assert counts[0] == counts[1]
