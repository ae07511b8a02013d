"""Closing points on the plan's terms: listed persons, waivers, lapsing, concessions."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from qc.accounts.models import Membership, User
from qc.engine.lifecycle import Refused
from qc.engine.plan import Party
from qc.records.models import PointClosure, Repair
from qc.records.progress import StepProgress, progress_of
from qc.workflow import Manner, close_point, give_notice
from qc.workflow.points import Closing, objections
from tests.factories import (
    FILLER,
    HARDNESS,
    NOON,
    SHORT_PLAN,
    THICKNESS,
    act_on,
    close,
    record,
    repair_on_site,
)
from tests.people import People

CALLED = {"needs_notice": True, "notice": "24 hour", "source": "contract"}
LAPSING = CALLED | {"lapses": True}
WITNESSED = [
    replace(step, points={"client": "witness"}) if step.key == "mixing" else step
    for step in SHORT_PLAN
]
SENT = datetime(2026, 5, 11, 7, 0, tzinfo=UTC)
DUE = SENT + timedelta(hours=24)


def repair_with(people: People, **terms: dict[str, Any]) -> Repair:
    return repair_on_site(people, WITNESSED, terms=terms)


def notify(people: People, repair: Repair, position: int = FILLER) -> None:
    give_notice(
        repair_id=repair.pk,
        position=position,
        party=Party.CLIENT,
        scheduled_at=DUE,
        note="",
        **act_on(people, Party.CONTRACTOR, SENT),
    )


def lapse(
    people: People,
    repair: Repair,
    position: int = FILLER,
    by: Party = Party.INSPECTOR,
    at: datetime = DUE + timedelta(minutes=1),
    note: str = "Ines Dunmore waited until 08:30",
) -> None:
    close_point(
        repair_id=repair.pk,
        position=position,
        party=Party.CLIENT,
        manner=Manner.LAPSED,
        note=note,
        **act_on(people, by, at),
    )


def unlist(user: User) -> None:
    Membership.objects.filter(user=user).update(releases_holds=False)


def test_a_person_who_is_not_listed_does_not_release_a_hold(people: People) -> None:
    repair = repair_with(people)
    record(people, repair, THICKNESS)
    unlist(people.clara)

    with pytest.raises(Refused) as refused:
        close(people, repair, THICKNESS, Manner.RELEASED)

    assert str(refused.value) == (
        "Step 3, Filler thickness: Clara Kestle is not listed to release the holds of the client:"
        " listed is nobody yet."
    )
    assert not PointClosure.objects.exists()


def test_who_is_listed_instead_is_named_and_releases_it(people: People) -> None:
    repair = repair_with(people)
    record(people, repair, THICKNESS)
    unlist(people.clara)
    cora = User.objects.create_user("cora", first_name="Cora", last_name="Pell")
    Membership.objects.create(project=people.project, user=cora, party="client")
    gone = User.objects.create_user("gone", first_name="Gone", is_active=False)
    Membership.objects.create(project=people.project, user=gone, party="client")

    with pytest.raises(Refused, match=r"listed is Cora Pell\.$"):
        close(people, repair, THICKNESS, Manner.RELEASED)
    close_point(
        repair_id=repair.pk,
        position=THICKNESS,
        manner=Manner.RELEASED,
        note="",
        **(act_on(people, Party.CLIENT) | {"actor": cora}),
    )

    assert PointClosure.objects.get().closed_by == cora


@pytest.mark.parametrize("manner", [Manner.ATTENDED, Manner.WAIVED])
def test_only_holds_ask_for_a_listed_person(people: People, manner: Manner) -> None:
    repair = repair_with(people)
    unlist(people.clara)

    close(people, repair, FILLER, manner, "No one to spare")

    assert PointClosure.objects.get().manner == manner


def test_a_review_asks_for_no_listed_person(people: People) -> None:
    repair = repair_with(people)
    unlist(people.clara)
    record(people, repair, THICKNESS)
    Membership.objects.filter(user=people.clara).update(releases_holds=True)
    close(people, repair, THICKNESS, Manner.RELEASED)
    unlist(people.clara)
    record(people, repair, HARDNESS)

    close(people, repair, HARDNESS, Manner.REVIEWED)

    assert PointClosure.objects.latest("pk").manner == "reviewed"


@pytest.mark.parametrize("manner", [Manner.ATTENDED, Manner.WAIVED, Manner.RELEASED])
@pytest.mark.parametrize("by", [Party.CONTRACTOR, Party.INSPECTOR])
def test_nobody_closes_the_point_of_another_party(
    people: People, manner: Manner, by: Party
) -> None:
    repair = repair_with(people)
    record(people, repair, THICKNESS)
    position = THICKNESS if manner is Manner.RELEASED else FILLER

    with pytest.raises(Refused, match="the client closes its point itself"):
        close_point(
            repair_id=repair.pk,
            position=position,
            party=Party.CLIENT,
            manner=manner,
            note="they said so",
            **act_on(people, by),
        )


@pytest.mark.parametrize("by", [Party.CONTRACTOR, Party.INSPECTOR])
def test_a_witness_point_lapses_once_the_moment_of_its_notice_has_passed(
    people: People, by: Party
) -> None:
    repair = repair_with(people, witness=LAPSING)
    notify(people, repair)

    lapse(people, repair, by=by)

    closure = PointClosure.objects.get()
    assert (closure.party, closure.manner) == ("client", "lapsed")
    assert closure.note == "Ines Dunmore waited until 08:30"
    assert [point.closed for point in progress_of(repair)[FILLER - 1].points] == [True]


@pytest.mark.parametrize(("seconds", "lapses"), [(-1, False), (0, False), (1, True)])
def test_the_moment_must_have_passed(people: People, seconds: int, lapses: bool) -> None:
    repair = repair_with(people, witness=LAPSING)
    notify(people, repair)
    at = DUE + timedelta(seconds=seconds)

    if lapses:
        lapse(people, repair, at=at)
    else:
        with pytest.raises(Refused, match="told to come on 12 May 2026 08:00, which has not"):
            lapse(people, repair, at=at)

    assert PointClosure.objects.exists() is lapses


def test_a_point_does_not_lapse_without_a_notice(people: People) -> None:
    repair = repair_with(people, witness=LAPSING)

    with pytest.raises(Refused, match="the client was given no notice"):
        lapse(people, repair)


def test_whoever_lets_a_point_lapse_says_who_waited(people: People) -> None:
    repair = repair_with(people, witness=LAPSING)
    notify(people, repair)

    with pytest.raises(Refused, match="say who waited, and how long"):
        lapse(people, repair, note="  ")


def test_a_party_does_not_let_its_own_point_lapse(people: People) -> None:
    repair = repair_with(people, witness=LAPSING)
    notify(people, repair)

    with pytest.raises(Refused, match="the client does not let its own point lapse"):
        lapse(people, repair, by=Party.CLIENT)


def test_a_point_that_was_attended_does_not_lapse(people: People) -> None:
    repair = repair_with(people, witness=LAPSING)
    notify(people, repair)
    close(people, repair, FILLER, Manner.ATTENDED)

    with pytest.raises(Refused, match="the client's point is closed already"):
        lapse(people, repair)


@pytest.mark.parametrize("terms", [{}, {"witness": CALLED}])
def test_nothing_lapses_where_the_plan_does_not_say_so(
    people: People, terms: dict[str, Any]
) -> None:
    repair = repair_with(people, **terms)
    notify(people, repair)

    with pytest.raises(Refused, match="the plan lets no witness point lapse"):
        lapse(people, repair)


def test_a_hold_does_not_lapse(people: People) -> None:
    repair = repair_with(people, witness=LAPSING, hold=CALLED)
    record(people, repair, FILLER)
    notify(people, repair, FILLER)
    notify(people, repair, THICKNESS)
    record(people, repair, THICKNESS)

    with pytest.raises(Refused, match="the plan lets no hold point lapse"):
        lapse(people, repair, THICKNESS, at=NOON)


def test_a_hold_lapses_where_the_plan_says_so_and_the_verdict_conforms(people: People) -> None:
    repair = repair_with(people, hold=LAPSING)
    notify(people, repair, THICKNESS)

    with pytest.raises(Refused, match="there is no conforming verdict to go by"):
        lapse(people, repair, THICKNESS)
    record(people, repair, THICKNESS)
    with pytest.raises(Refused, match="hold point of the client is open"):
        record(people, repair, HARDNESS, at=NOON)
    lapse(people, repair, THICKNESS, at=NOON)

    assert record(people, repair, HARDNESS, at=NOON).pk


def test_a_review_is_not_let_lapse(people: People) -> None:
    repair = repair_with(people, witness=LAPSING)

    with pytest.raises(Refused, match="the plan lets no review point lapse"):
        lapse(people, repair, HARDNESS)


def test_a_hold_is_never_waived(people: People) -> None:
    repair = repair_with(people, hold=LAPSING)
    record(people, repair, THICKNESS)

    with pytest.raises(Refused, match="a hold point is not waived"):
        close(people, repair, THICKNESS, Manner.WAIVED, "No one to spare")


@pytest.mark.parametrize("is_accepted", [True, False])
@pytest.mark.parametrize(
    ("position", "manner"), [(THICKNESS, Manner.RELEASED), (HARDNESS, Manner.REVIEWED)]
)
def test_a_hold_and_a_review_are_closed_on_a_failing_verdict_only_where_it_is_conceded(
    people: People,
    monkeypatch: pytest.MonkeyPatch,
    position: int,
    manner: Manner,
    is_accepted: bool,
) -> None:
    progress = progress_of(repair_with(people))[position - 1]
    monkeypatch.setattr(StepProgress, "is_accepted", is_accepted)
    clara = Membership.objects.get(user=people.clara)
    closing = Closing(party=Party.CLIENT, by=clara, manner=manner, note="", at=NOON)

    assert bool(objections(progress, closing)) is not is_accepted


def test_every_reason_is_told_at_once(people: People) -> None:
    repair = repair_with(people)
    unlist(people.clara)

    with pytest.raises(Refused) as refused:
        close(people, repair, THICKNESS, Manner.RELEASED)

    assert len(refused.value.reasons) == 2
