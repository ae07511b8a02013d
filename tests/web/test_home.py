"""Signing in and out, and the page everyone starts from: what waits, and all repairs."""

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from qc.accounts.models import Membership, User
from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.workflow import Manner, agree_plan
from tests.factories import (
    AMBIENT,
    FILLER,
    THICKNESS,
    act_on,
    close,
    finished_repair,
    planned_repair,
    put_signature,
    record,
    repair_at,
    repair_on_site,
)
from tests.people import PASSWORD, People
from tests.web.visitor import signed_in, text_of


def home(user: User) -> Any:
    return signed_in(user).get("/")


def waiting(user: User) -> list[tuple[str, str]]:
    """What waits for a person: (what, address)."""
    (group,) = home(user).context["projects"]
    return [(thing.say, thing.url) for repair in group["waiting"] for thing in repair["things"]]


def card(user: User) -> dict[str, Any]:
    """The only repair on a person's page."""
    (group,) = home(user).context["projects"]
    (found,) = group["repairs"]
    return dict(found)


def test_a_person_signs_in_by_name_and_password_and_out_again(people: People) -> None:
    client = Client()
    page = client.post("/login/", {"username": "ines", "password": PASSWORD}, follow=True)
    assert page.redirect_chain == [("/", 302)]
    assert "Ines Dunmore" in text_of(page)
    assert client.post("/logout/")["Location"] == "/login/"
    assert client.get("/").status_code == 302


def test_one_comes_back_to_where_one_wanted_to_go(people: People) -> None:
    repair = planned_repair(people)
    there = f"/repairs/{repair.pk}/"
    client = Client()
    page = client.get(there, follow=True)
    data = {"username": "ines", "password": PASSWORD, "next": page.context["next"]}
    assert client.post("/login/", data)["Location"] == there


def test_signing_in_does_not_lead_to_another_site(people: People) -> None:
    data = {"username": "ines", "password": PASSWORD, "next": "https://elsewhere.example/"}
    assert Client().post("/login/", data)["Location"] == "/"


@pytest.mark.parametrize(
    ("data", "message"),
    [
        ({"username": "ines", "password": "wrong"}, "Name or password is not right."),
        ({"username": "nobody", "password": "wrong"}, "Name or password is not right."),
        ({"username": "ines"}, "Password: Enter your password."),
        ({"password": "x"}, "Name: Enter the name of your account."),
    ],
)
def test_a_failed_sign_in_says_what_to_do(
    people: People, data: dict[str, str], message: str
) -> None:
    page = Client().post("/login/", data)
    assert message in text_of(page)
    assert text_of(page).startswith("Error: ")
    assert b"wrong" not in page.content


def test_after_too_many_wrong_passwords_a_name_is_locked_for_a_while(people: People) -> None:
    client = Client()
    for _ in range(10):
        page = client.post("/login/", {"username": "ines", "password": "wrong"})
    assert page.status_code == 429
    assert "Locked for a while" in text_of(page)
    again = client.post("/login/", {"username": "ines", "password": PASSWORD})
    assert again.status_code == 429
    assert Client().post("/login/", {"username": "carl", "password": PASSWORD}).status_code == 302


def test_signing_out_takes_a_post_and_no_signing_in(people: People) -> None:
    assert Client().get("/logout/").status_code == 405
    assert Client().post("/logout/").status_code == 302


def test_who_is_signed_in_is_not_asked_again(people: People) -> None:
    assert signed_in(people.ines).get("/login/").status_code == 302


def test_the_inspector_sees_the_next_thing_to_do_on_each_repair(people: People) -> None:
    repair_on_site(people)
    found = card(people.ines)
    assert found["next"] == "Step 1, Ambient conditions, is next."
    assert found["open"] > 0
    assert "My repairs" in text_of(home(people.ines))


def test_a_failed_step_is_what_comes_next(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT, [{"at": "2026-05-12T11:00+00:00", "air": "21 degC"}])
    assert card(people.ines)["next"] == (
        "Step 1, Ambient conditions, cannot be judged: read again."
    )
    assert card(people.ines)["state"] == "cannot_be_judged"


def test_the_client_sees_the_plans_to_agree(people: People) -> None:
    repair = planned_repair(people)
    assert waiting(people.clara) == [("Your turn: agree the plan.", f"/repairs/{repair.pk}/plan/")]
    assert "The client has the turn: to agree the plan." in text_of(home(people.ines))
    agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    assert waiting(people.clara) == []


def test_the_client_sees_the_points_that_can_be_closed_now(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    record(people, repair, FILLER)
    assert waiting(people.clara) == []
    record(people, repair, THICKNESS)
    ((say, url),) = waiting(people.clara)
    assert say == "Step 3, Filler thickness: hold point, the verdict conforms."
    assert url == f"/repairs/{repair.pk}/steps/{THICKNESS}/point/"
    assert "Held: Step 3, Filler thickness: hold point of the client" in card(people.ines)["next"]
    close(people, repair, THICKNESS, Manner.RELEASED)
    assert waiting(people.clara) == []


def test_the_contractor_sees_what_evidence_is_missing_at_steps_that_are_reached(
    people: People,
) -> None:
    repair = repair_on_site(people)
    assert waiting(people.carl) == []
    record(people, repair, AMBIENT)
    record(people, repair, FILLER)
    assert waiting(people.carl) == [
        (
            "Step 3, Filler thickness: evidence missing: Photograph of the gauge.",
            f"/repairs/{repair.pk}/evidence/#step-{THICKNESS}",
        )
    ]


@pytest.mark.parametrize(
    ("status", "who", "say", "place"),
    [
        (Status.INSPECTED, "carl", "Your turn: sign for the work.", "sign"),
        (Status.WITH_CLIENT, "clara", "Your turn: approve the record or return it.", "sign"),
        (Status.APPROVED, "clara", "Your turn: make the certificate.", "sign"),
    ],
)
def test_away_from_the_site_one_party_has_the_turn(
    people: People, status: Status, who: str, say: str, place: str
) -> None:
    repair = repair_at(people, status)
    assert waiting(getattr(people, who)) == [(say, f"/repairs/{repair.pk}/{place}/")]
    for other in {"carl", "clara"} - {who}:
        assert waiting(getattr(people, other)) == []
    assert "has the turn" in card(people.ines)["next"]


def test_with_nothing_open_the_inspector_signs(people: People) -> None:
    repair = finished_repair(people)
    found = home(people.ines)
    assert "Nothing is open." in text_of(found)
    assert "the inspector signs next" in text_of(home(people.clara))
    put_signature(people, repair, Party.INSPECTOR)
    assert "The contractor has the turn" in text_of(home(people.ines))


def test_a_person_of_two_projects_sees_each_with_the_party_there(people: People) -> None:
    planned_repair(people)
    Membership.objects.create(project=people.elsewhere, user=people.ines, party="client")
    page = home(people.ines)
    parties = {g["project"].code: str(g["party"]) for g in page.context["projects"]}
    assert parties == {"SQT": "inspector", "ELS": "client"}
    assert "You are the inspector" in text_of(page)
    assert "You are the client" in text_of(page)
    assert "No repair yet" in text_of(page)


def test_a_person_of_no_project_is_told_whom_to_ask(people: People) -> None:
    stranger = User.objects.create_user("nell")
    assert "You are in no project yet" in text_of(home(stranger))


def test_the_queries_of_the_page_do_not_grow_with_its_repairs(people: People) -> None:
    client = signed_in(people.clara)
    counts = []
    for number in range(3):
        repair = planned_repair(people, number=f"R-{number}")
        agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))
        record(people, repair, AMBIENT)
        record(people, repair, FILLER)
        record(people, repair, THICKNESS)
        with CaptureQueriesContext(connection) as captured:
            page = client.get("/")
        counts.append(len(captured))
    assert len(page.context["projects"][0]["repairs"]) == 3
    assert counts[0] == counts[1] == counts[2]
