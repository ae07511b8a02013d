"""Points at the pages: notice given, accepted, lapsed; who is offered what, and why not."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.utils import timezone

from qc.accounts.models import Membership
from qc.engine.plan import Party
from qc.records.models import Notice, NoticeAnswer, PointClosure, Repair
from qc.workflow import Manner, accept_notice, give_notice
from tests.factories import (
    FILLER,
    SHORT_PLAN,
    THICKNESS,
    act_on,
    close,
    record,
    repair_on_site,
)
from tests.people import People
from tests.web.visitor import enter, signed_in, text_of

SITE = ZoneInfo("Europe/Dublin")
CALLED = {
    "code": "WP",
    "wording": "Witness: come or send word",
    "needs_notice": True,
    "notice": "24 hour",
    "lapses": True,
    "source": "contract, schedule 4",
}
WITNESSED = [
    replace(step, points={"client": "witness"}) if step.key == "mixing" else step
    for step in SHORT_PLAN
]


def repair_with(people: People, **terms: dict[str, Any]) -> Repair:
    return repair_on_site(people, WITNESSED, terms=terms or {"witness": CALLED})


def step_page(repair: Repair, position: int = FILLER) -> str:
    return f"/repairs/{repair.pk}/steps/{position}/"


def notice_page(repair: Repair, position: int = FILLER, party: str = "client") -> str:
    return f"{step_page(repair, position)}points/{party}/notice/"


def lapse_page(repair: Repair, position: int = FILLER) -> str:
    return f"{step_page(repair, position)}points/client/lapse/"


def local(moment: datetime) -> str:
    return f"{moment.astimezone(SITE):%Y-%m-%dT%H:%M}"


def told(people: People, repair: Repair, ahead: timedelta, position: int = FILLER) -> Notice:
    """A notice whose moment lies so far ahead of now, or behind."""
    now = timezone.now()
    entry = give_notice(
        repair_id=repair.pk,
        position=position,
        party=Party.CLIENT,
        scheduled_at=now + ahead,
        note="Ask for Carl at the gate",
        **act_on(people, Party.CONTRACTOR, now + ahead - timedelta(hours=25)),
    )
    return Notice.objects.get(pk=entry.stated(Notice)[0]["id"])


def test_the_contractor_gives_notice_and_the_step_tells_of_it(people: People) -> None:
    repair = repair_with(people)
    carl = signed_in(people.carl)
    assert "No notice given yet: the plan asks for 24 h. Later work waits for it." in text_of(
        carl.get(step_page(repair))
    )
    assert f'href="{notice_page(repair)}"' in carl.get(step_page(repair)).content.decode()
    moment = timezone.now() + timedelta(hours=30)

    page = enter(carl, notice_page(repair), scheduled_at=local(moment), note="At the gate")

    said = f"{moment.astimezone(SITE):%a} {moment.astimezone(SITE).day} "
    assert f"The client is given notice for {said}" in text_of(page)
    assert f"Called for {said}" in text_of(page)
    assert "given by Carl Vale: At the gate" in text_of(page)
    assert "Give the client another notice" in text_of(page)
    notice = Notice.objects.get()
    assert local(notice.scheduled_at) == local(moment)


def test_the_moment_offered_is_allowed(people: People) -> None:
    repair = repair_with(people)

    page = enter(signed_in(people.carl), notice_page(repair))

    assert "is given notice" in text_of(page)
    assert Notice.objects.get().scheduled_at - timezone.now() < timedelta(hours=24, minutes=15)


def test_the_page_of_a_notice_says_what_the_plan_asks_and_whence(people: People) -> None:
    said = text_of(signed_in(people.carl).get(notice_page(repair_with(people))))

    assert "WP: Witness: come or send word" in said
    assert "At least 24 h of notice; contract, schedule 4" in said
    assert "Working hours" not in said


def test_working_hours_are_said_where_they_count(people: People) -> None:
    repair = repair_with(people, witness=CALLED | {"hours": "working"})

    said = text_of(signed_in(people.carl).get(notice_page(repair)))

    assert "At least 24 working h of notice" in said
    assert "Working hours of the site: Mon, Tue, Wed, Thu, Fri, 07:00 to 17:00." in said


def test_a_notice_too_soon_keeps_what_was_typed_and_names_the_earliest(people: People) -> None:
    repair = repair_with(people)
    carl = signed_in(people.carl)
    moment = local(timezone.now() + timedelta(hours=23))

    page = enter(carl, notice_page(repair), scheduled_at=moment, note="At the gate")

    assert page.status_code == 409
    assert "is too soon, the plan asks for 24 h of notice: the earliest moment is" in text_of(page)
    assert moment in page.content.decode()
    assert page.context["form"].errors["scheduled_at"]
    assert not Notice.objects.exists()


@pytest.mark.parametrize(
    ("typed", "said"),
    [("", "Say when the work comes to the point."), ("tomorrow", "tomorrow is not a day and time")],
)
def test_a_moment_that_is_none_is_refused(people: People, typed: str, said: str) -> None:
    repair = repair_with(people)

    page = enter(signed_in(people.carl), notice_page(repair), scheduled_at=typed)

    assert said in text_of(page)
    assert not Notice.objects.exists()


def test_a_notice_sent_twice_is_given_once(people: People) -> None:
    repair = repair_with(people)
    carl = signed_in(people.carl)
    data = {
        "act_id": str(uuid4()),
        "scheduled_at": local(timezone.now() + timedelta(hours=30)),
        "note": "",
    }

    answers = [carl.post(notice_page(repair), data).status_code for _ in range(2)]

    assert answers == [302, 302]
    assert Notice.objects.count() == 1


def test_the_client_is_not_offered_to_give_notice(people: People) -> None:
    repair = repair_with(people)
    clara = signed_in(people.clara)

    assert notice_page(repair) not in clara.get(step_page(repair)).content.decode()
    assert clara.get(notice_page(repair)).status_code == 409


@pytest.mark.parametrize(("position", "party"), [(FILLER, "contractor"), (FILLER, "nobody")])
def test_there_is_no_page_of_a_point_that_is_none(
    people: People, position: int, party: str
) -> None:
    repair = repair_with(people)
    carl = signed_in(people.carl)

    assert carl.get(notice_page(repair, position, party)).status_code == 404
    assert carl.post(notice_page(repair, position, party)).status_code == 404


def accept(client: Client, repair: Repair, notice: Notice) -> Any:
    address = f"{step_page(repair)}notices/{notice.pk}/accept/"
    return client.post(address, {"act_id": str(uuid4())}, follow=True)


def test_the_client_accepts_at_one_press(people: People) -> None:
    repair = repair_with(people)
    notice = told(people, repair, timedelta(hours=30))
    clara = signed_in(people.clara)
    assert "Accept: we come" in text_of(clara.get(step_page(repair)))

    said = text_of(accept(clara, repair, notice))

    assert "Accepted: who gave the notice is told that you come." in said
    assert "Accepted by Clara Kestle" in said
    assert ", accepted." in said
    assert "Accept: we come" not in said
    assert NoticeAnswer.objects.get().notice == notice


def test_whoever_is_not_invited_is_told_so(people: People) -> None:
    repair = repair_with(people)
    notice = told(people, repair, timedelta(hours=30))

    said = text_of(accept(signed_in(people.carl), repair, notice))

    assert "the notice is to the client, not to the contractor" in said
    assert not NoticeAnswer.objects.exists()


def test_a_notice_whose_moment_has_passed_can_be_accepted_no_more_and_says_why(
    people: People,
) -> None:
    repair = repair_with(people)
    told(people, repair, timedelta(hours=-1))

    page = signed_in(people.clara).get(step_page(repair))

    assert "the moment of the notice has passed." in text_of(page)
    assert 'aria-disabled="true"' in page.content.decode()
    assert "has passed: later work goes on." in text_of(page)


def test_a_replaced_notice_is_shown_struck(people: People) -> None:
    repair = repair_with(people)
    told(people, repair, timedelta(hours=30))
    told(people, repair, timedelta(hours=40))

    page = signed_in(people.carl).get(step_page(repair)).content.decode()

    assert page.count("<s>Notice for") == 1
    assert page.count("Notice for") == 2


@pytest.mark.parametrize("by", [Party.CONTRACTOR, Party.INSPECTOR])
def test_a_client_who_did_not_come_is_told_of_with_who_waited(people: People, by: Party) -> None:
    repair = repair_with(people)
    told(people, repair, timedelta(hours=-1))
    visitor = signed_in(people.of(by))
    assert f'href="{lapse_page(repair)}"' in visitor.get(step_page(repair)).content.decode()
    assert "Say who waited" in text_of(enter(visitor, lapse_page(repair)))

    page = enter(visitor, lapse_page(repair), note="Carl and Ines, at the gate until 09:00")

    assert "The point of the client has lapsed." in text_of(page)
    assert "Lapsed by" in text_of(page)
    assert PointClosure.objects.get().note == "Carl and Ines, at the gate until 09:00"


def test_before_the_moment_the_button_says_why_not(people: People) -> None:
    repair = repair_with(people)
    told(people, repair, timedelta(hours=30))
    carl = signed_in(people.carl)

    said = text_of(carl.get(step_page(repair)))

    assert "The client did not come" in said
    assert "which has not passed" in said
    assert carl.get(lapse_page(repair)).status_code == 409


def test_where_the_plan_lets_nothing_lapse_it_is_not_offered(people: People) -> None:
    repair = repair_with(people, witness=CALLED | {"lapses": False})
    told(people, repair, timedelta(hours=-1))
    carl = signed_in(people.carl)

    assert "did not come" not in text_of(carl.get(step_page(repair)))
    assert "the plan lets no witness point lapse" in text_of(carl.get(lapse_page(repair)))


def test_a_hold_says_who_is_listed_to_somebody_who_is_not(people: People) -> None:
    repair = repair_with(people)
    close(people, repair, FILLER, Manner.WAIVED, "No one to spare")
    record(people, repair, THICKNESS)
    Membership.objects.filter(user=people.clara).update(releases_holds=False)

    page = signed_in(people.clara).get(step_page(repair, THICKNESS))

    assert "Clara Kestle is not listed to release the holds of the client" in text_of(page)
    assert 'aria-disabled="true"' in page.content.decode()


def test_the_project_s_own_code_and_wording_stand_at_the_point(people: People) -> None:
    page = signed_in(people.ines).get(step_page(repair_with(people)))

    assert '<span class="code" aria-hidden="true">WP</span>' in page.content.decode()
    assert "Witness: come or send word" in text_of(page)


def test_the_record_shows_notices_without_offering_anything(people: People) -> None:
    repair = repair_with(people)
    notice = told(people, repair, timedelta(hours=30))
    accept_notice(
        repair_id=repair.pk,
        notice_id=notice.pk,
        note="Two of us",
        **act_on(people, Party.CLIENT, datetime(2026, 5, 12, tzinfo=UTC)),
    )

    page = signed_in(people.carl).get(f"/repairs/{repair.pk}/record/")

    assert "Accepted by Clara Kestle: Two of us" in text_of(page)
    assert "Give the client" not in text_of(page)
