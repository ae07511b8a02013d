"""What waits for a person: from every project, the most urgent first, counted on every page."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from qc.accounts.models import Membership
from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.records.models import Notice, Repair
from qc.workflow import Manner, accept_notice, give_notice, revise_plan
from tests.factories import (
    FILLER,
    SHORT_PLAN,
    THICKNESS,
    act_on,
    close,
    finished_repair,
    planned_repair,
    record,
    repair_at,
    repair_on_site,
)
from tests.people import People
from tests.web.visitor import signed_in, text_of

CALLED = {"needs_notice": True, "notice": "24 hour", "lapses": True, "source": "contract"}
WITNESSED = [
    replace(step, points={"client": "witness"}) if step.key == "mixing" else step
    for step in SHORT_PLAN
]


def repair_with(people: People, number: str = "R-014") -> Repair:
    return repair_on_site(people, WITNESSED, number=number, terms={"witness": CALLED})


def told(people: People, repair: Repair, ahead: timedelta, accepted: bool = False) -> None:
    now = timezone.now()
    entry = give_notice(
        repair_id=repair.pk,
        position=FILLER,
        party=Party.CLIENT,
        scheduled_at=now + ahead,
        note="",
        **act_on(people, Party.CONTRACTOR, now + ahead - timedelta(hours=25)),
    )
    if accepted:
        accept_notice(
            repair_id=repair.pk,
            notice_id=entry.stated(Notice)[0]["id"],
            note="",
            **act_on(people, Party.CLIENT, now + ahead - timedelta(hours=20)),
        )


def inbox(people: People, party: Party) -> Any:
    return signed_in(people.of(party)).get("/inbox/")


def said(page: Any) -> dict[str, list[str]]:
    """What each group says, by its title."""
    return {g["title"]: [t["say"] for t in g["things"]] for g in page.context["groups"]}


def test_whoever_has_nothing_to_do_is_told_so(people: People) -> None:
    page = inbox(people, Party.CLIENT)

    assert "Nothing waits for you" in text_of(page)
    assert "Waiting for me 0" in text_of(page)


def test_notices_are_accepted_attended_and_overdue_in_their_order(people: People) -> None:
    repairs = [repair_with(people, f"R-{n}") for n in (1, 2, 3)]
    told(people, repairs[0], timedelta(hours=30))
    told(people, repairs[1], timedelta(hours=20), accepted=True)
    told(people, repairs[2], timedelta(hours=-2))

    page = inbox(people, Party.CLIENT)

    groups = said(page)
    assert list(groups) == ["Overdue", "Coming up"]
    assert "witness point, called for" in groups["Overdue"][0]
    assert "witness point: come on" in groups["Coming up"][0]
    assert "witness point: accept the notice for" in groups["Coming up"][1]
    assert page.context["count"] == 3
    assert "Waiting for me 3" in text_of(page)
    links = [t["url"] for g in page.context["groups"] for t in g["things"]]
    assert links == [
        f"/repairs/{repairs[2].pk}/steps/2/point/",
        f"/repairs/{repairs[1].pk}/steps/2/#points",
        f"/repairs/{repairs[0].pk}/steps/2/#points",
    ]


@pytest.mark.parametrize("party", [Party.CONTRACTOR, Party.INSPECTOR])
def test_whoever_waited_in_vain_is_asked_whether_the_client_came(
    people: People, party: Party
) -> None:
    repair = repair_with(people)
    told(people, repair, timedelta(hours=-2))

    (asked,) = said(inbox(people, party))["Overdue"]

    assert "the client was called for" in asked
    assert asked.endswith("Did it come?")


def test_the_contractor_is_reminded_of_the_next_notice_to_give(people: People) -> None:
    repair = repair_with(people)

    page = inbox(people, Party.CONTRACTOR)

    assert "Step 2, Filler mixed: the client wants 24 h of notice." in said(page)["Open"]
    told(people, repair, timedelta(hours=30))
    assert "wants 24 h" not in text_of(inbox(people, Party.CONTRACTOR))


def test_of_several_points_ahead_only_the_next_is_named(people: People) -> None:
    steps = [replace(step, points={"client": "witness"}) for step in SHORT_PLAN]
    repair_on_site(people, steps, terms={"witness": CALLED})

    wanted = [s for s in said(inbox(people, Party.CONTRACTOR))["Open"] if "of notice" in s]

    assert [s.split(",")[0] for s in wanted] == ["Step 1", "Step 2"]


def test_a_witness_who_was_not_told_yet_has_nothing_to_do(people: People) -> None:
    repair_with(people)

    assert said(inbox(people, Party.CLIENT)) == {}


def test_a_hold_to_release_and_a_hold_with_nothing_to_release(people: People) -> None:
    repair = repair_with(people)
    close(people, repair, FILLER, Manner.WAIVED, "No one to spare")
    assert said(inbox(people, Party.CLIENT)) == {}
    record(people, repair, 1)
    record(people, repair, FILLER)
    record(people, repair, THICKNESS)

    (hold,) = said(inbox(people, Party.CLIENT))["Open"]

    assert hold == "Step 3, Filler thickness: hold point, the verdict conforms."


@pytest.mark.parametrize(
    ("status", "party", "say"),
    [
        (Status.PLANNED, Party.CLIENT, "Your turn: agree the plan."),
        (Status.INSPECTED, Party.CONTRACTOR, "Your turn: sign for the work."),
        (Status.WITH_CLIENT, Party.CLIENT, "Your turn: approve the record or return it."),
        (Status.APPROVED, Party.CLIENT, "Your turn: make the certificate."),
    ],
)
def test_plans_and_records_wait_for_who_has_the_turn(
    people: People, status: Status, party: Party, say: str
) -> None:
    repair_at(people, status)

    assert say in said(inbox(people, party))["Open"]


def test_the_inspector_is_told_that_nothing_is_open_any_more(people: People) -> None:
    finished_repair(people)

    assert said(inbox(people, Party.INSPECTOR))["Open"] == ["Nothing is open."]


def test_a_revision_on_site_waits_for_the_client(people: People) -> None:
    repair = repair_on_site(people)
    steps = [*SHORT_PLAN[:3], replace(SHORT_PLAN[3], title="Hardness of the filler")]
    revise_plan(
        repair_id=repair.pk,
        steps=steps,
        reason="A better name",
        **act_on(people, Party.CONTRACTOR),
    )

    waiting = said(inbox(people, Party.CLIENT))["Open"]

    assert any("of the plan waits for you: agree it, or comment." in say for say in waiting)


def test_a_failing_verdict_waits_for_the_party_that_must_act(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, FILLER)
    record(people, repair, THICKNESS, [{"values": ["4 mm"]}])

    waiting = [sum(said(inbox(people, party)).values(), []) for party in Party]

    told = [say for says in waiting for say in says if say.startswith("Nonconformance report 1 ")]
    assert len(told) == 1


def test_what_waits_in_two_projects_stands_on_one_page(people: People) -> None:
    repair = repair_with(people)
    Membership.objects.create(project=people.elsewhere, user=people.carl, party="contractor")
    told(people, repair, timedelta(hours=-2))

    page = inbox(people, Party.CONTRACTOR)

    assert page.context["groups"][0]["things"][0]["project"] == people.project.title


def test_nothing_of_another_project_waits_for_a_stranger(people: People) -> None:
    repair = repair_with(people)
    told(people, repair, timedelta(hours=-2))

    page = signed_in(people.olu).get("/inbox/")

    assert said(page) == {}
    assert repair.number not in text_of(page)


def test_the_header_of_every_page_counts_with_a_fixed_number_of_queries(people: People) -> None:
    clara = signed_in(people.clara)
    counts = []
    for number in range(1, 4):
        repair = repair_with(people, f"R-{number}")
        told(people, repair, timedelta(hours=30))
        clara.get("/about/characteristics/")
        with CaptureQueriesContext(connection) as captured:
            page = clara.get("/about/characteristics/")
        assert f"Waiting for me {number}" in text_of(page)
        counts.append(len(captured))
    assert counts[0] == counts[1] == counts[2]


def test_the_inbox_itself_asks_once_for_its_list_and_its_count(people: People) -> None:
    repair = repair_with(people)
    told(people, repair, timedelta(hours=30))
    clara = signed_in(people.clara)
    clara.get("/inbox/")
    with CaptureQueriesContext(connection) as inbox_page:
        clara.get("/inbox/")
    with CaptureQueriesContext(connection) as other_page:
        clara.get("/about/characteristics/")
    assert len(inbox_page) == len(other_page)


def test_home_says_the_same_as_the_inbox(people: People) -> None:
    repair = repair_with(people)
    told(people, repair, timedelta(hours=30))
    planned_repair(people, number="R-2")
    clara = signed_in(people.clara)

    home = [
        thing.say
        for project in clara.get("/").context["projects"]
        for waiting in project["waiting"]
        for thing in waiting["things"]
    ]

    assert sorted(home) == sorted(sum(said(inbox(people, Party.CLIENT)).values(), []))
