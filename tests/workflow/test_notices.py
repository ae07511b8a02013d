"""Notice of a witness or hold point: early enough, to the right party, replaced, accepted."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from qc.engine.lifecycle import Refused
from qc.engine.plan import Party
from qc.records.models import Inspection, Notice, NoticeAnswer, Plan, Repair
from qc.records.progress import progress_of
from qc.records.templates import StepTemplate
from qc.workflow import Manner, accept_notice, give_notice
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

CALLED = {"needs_notice": True, "notice": "24 hour", "lapses": True, "source": "contract"}
WITNESSED = tuple(
    replace(step, points={"client": "witness"}) if step.key == "mixing" else step
    for step in SHORT_PLAN
)
MONDAY_EIGHT = datetime(2026, 5, 11, 7, 0, tzinfo=UTC)
"""Monday 08:00 at the site."""


def repair_with(
    people: People,
    terms: dict[str, Any] | None = None,
    steps: Sequence[StepTemplate] = WITNESSED,
) -> Repair:
    """A repair on site whose plan has these terms."""
    with_terms = {"witness": CALLED} if terms is None else terms
    return repair_on_site(people, steps, terms=with_terms)


def notify(
    people: People,
    repair: Repair,
    scheduled_at: datetime,
    at: datetime = MONDAY_EIGHT,
    position: int = FILLER,
    party: Party = Party.CLIENT,
    by: Party = Party.CONTRACTOR,
) -> Notice:
    """Give notice of a point; the notice."""
    entry = give_notice(
        repair_id=repair.pk,
        position=position,
        party=party,
        scheduled_at=scheduled_at,
        note=" Mixing of the first kit ",
        **act_on(people, by, at),
    )
    (stated,) = entry.stated(Notice)
    return Notice.objects.get(pk=stated["id"])


def accept(
    people: People, notice: Notice, by: Party = Party.CLIENT, at: datetime = MONDAY_EIGHT
) -> NoticeAnswer:
    """The invited party says that it comes; its answer."""
    entry = accept_notice(
        repair_id=notice.repair_id, notice_id=notice.pk, note="Two of us", **act_on(people, by, at)
    )
    (stated,) = entry.stated(NoticeAnswer)
    return NoticeAnswer.objects.get(pk=stated["id"])


def tuesday(clock: str) -> datetime:
    """A clock time of Tuesday 12 May 2026 at the site, which is an hour ahead of UTC."""
    hour, minute = map(int, clock.split(":"))
    return datetime(2026, 5, 12, hour, minute, tzinfo=UTC) - timedelta(hours=1)


def test_a_notice_says_who_told_whom_when_for_what_moment(people: People) -> None:
    notice = notify(people, repair_with(people), tuesday("08:00"))

    assert (notice.party, notice.scheduled_at) == ("client", tuesday("08:00"))
    assert (notice.given_by_name, notice.given_at) == ("Carl Vale", MONDAY_EIGHT)
    assert (notice.note, notice.series) == ("Mixing of the first kit", 1)


def test_a_moment_sooner_than_the_notice_period_is_refused_with_the_earliest(
    people: People,
) -> None:
    """Check value: sent Monday 08:00 with 24 h, Tuesday 07:59 is early, 08:00 is not."""
    repair = repair_with(people)

    with pytest.raises(Refused) as refused:
        notify(people, repair, tuesday("07:59"))

    assert refused.value.reasons[0].rule == "moment"
    assert str(refused.value) == (
        "Step 2, Filler mixed: 12 May 2026 07:59 is too soon, the plan asks for 24 h of notice:"
        " the earliest moment is 12 May 2026 08:00."
    )
    assert not Notice.objects.exists()


def test_the_earliest_moment_named_is_a_full_minute_that_is_taken(people: People) -> None:
    repair = repair_with(people)
    at = MONDAY_EIGHT + timedelta(seconds=1)

    with pytest.raises(Refused, match="the earliest moment is 12 May 2026 08:01"):
        notify(people, repair, tuesday("08:00"), at)

    assert notify(people, repair, tuesday("08:01"), at).pk


def test_working_hours_of_the_project_count_where_the_plan_says_so(people: People) -> None:
    terms = {"witness": CALLED | {"hours": "working", "notice": "12 hour"}}
    repair = repair_with(people, terms)

    with pytest.raises(Refused, match="12 working h of notice: the earliest.*12 May 2026 10:00"):
        notify(people, repair, tuesday("09:59"))
    assert notify(people, repair, tuesday("10:00")).pk


def test_without_a_period_only_a_moment_that_has_passed_is_refused(people: People) -> None:
    repair = repair_with(people, {})

    with pytest.raises(Refused, match="11 May 2026 07:59 has passed"):
        notify(people, repair, MONDAY_EIGHT - timedelta(minutes=1))
    assert notify(people, repair, MONDAY_EIGHT).pk


@pytest.mark.parametrize(
    ("position", "party", "by", "problem"),
    [
        (FILLER, Party.CONTRACTOR, Party.INSPECTOR, "the contractor has no point here"),
        (HARDNESS, Party.CLIENT, Party.INSPECTOR, "nobody is called to a review point"),
        (1, Party.CLIENT, Party.INSPECTOR, "nobody is called to a surveillance point"),
        (FILLER, Party.INSPECTOR, Party.INSPECTOR, "the inspector gives no notice to itself"),
        (FILLER, Party.CLIENT, Party.CLIENT, "The client cannot give notice"),
        (99, Party.CLIENT, Party.CONTRACTOR, "The plan has no step 99"),
    ],
)
def test_notice_goes_to_another_party_that_comes_to_a_point(
    people: People, position: int, party: Party, by: Party, problem: str
) -> None:
    repair = repair_with(people)

    with pytest.raises(Refused, match=problem):
        notify(people, repair, tuesday("08:00"), position=position, party=party, by=by)

    assert not Notice.objects.exists()


def test_notice_of_a_hold_can_be_given_by_the_inspector_too(people: People) -> None:
    repair = repair_with(people)

    notice = notify(people, repair, tuesday("08:00"), position=THICKNESS, by=Party.INSPECTOR)

    assert notice.given_by_name == "Ines Dunmore"


def test_there_is_no_notice_of_a_point_that_is_closed(people: People) -> None:
    repair = repair_with(people)
    close(people, repair, FILLER, Manner.WAIVED, "No one to spare")

    with pytest.raises(Refused, match="the client's point is closed already"):
        notify(people, repair, tuesday("18:00"), NOON)


def test_a_later_notice_takes_the_place_of_an_earlier_one_and_both_stay(people: People) -> None:
    repair = repair_with(people)
    first = notify(people, repair, tuesday("08:00"))
    second = notify(people, repair, tuesday("14:00"))

    progress = progress_of(repair)[FILLER - 1]

    assert progress.notices == (first, second)
    assert progress.notice_of(Party.CLIENT) == second


@pytest.mark.parametrize(("clock", "is_stopped"), [("07:59", True), ("08:00", False)])
def test_later_work_waits_for_the_moment_of_the_notice(
    people: People, clock: str, is_stopped: bool
) -> None:
    repair = repair_with(people)
    notify(people, repair, tuesday("08:00"))

    if is_stopped:
        with pytest.raises(Refused, match="witness point of the client is open"):
            record(people, repair, THICKNESS, at=tuesday(clock))
    else:
        record(people, repair, THICKNESS, at=tuesday(clock))

    assert Inspection.objects.exists() is not is_stopped


def test_without_any_notice_later_work_waits(people: People) -> None:
    repair = repair_with(people)

    with pytest.raises(Refused, match="witness point of the client is open"):
        record(people, repair, THICKNESS, at=NOON + timedelta(days=300))


def test_work_goes_on_at_once_where_the_witness_waives(people: People) -> None:
    repair = repair_with(people)
    close(people, repair, FILLER, Manner.WAIVED, "No one to spare")
    record(people, repair, FILLER)

    assert record(people, repair, THICKNESS).pk


def test_where_the_plan_wants_no_notice_an_open_witness_point_lets_the_work_go_on(
    people: People,
) -> None:
    repair = repair_with(people, {})
    record(people, repair, FILLER)

    assert record(people, repair, THICKNESS).pk


def test_the_inspector_who_records_needs_no_notice(people: People) -> None:
    steps = [replace(SHORT_PLAN[0], points={"inspector": "witness"}), *SHORT_PLAN[1:]]
    repair = repair_with(people, steps=steps)

    assert record(people, repair, FILLER).pk


def test_a_later_notice_makes_the_work_wait_again(people: People) -> None:
    repair = repair_with(people)
    notify(people, repair, tuesday("08:00"))
    notify(people, repair, tuesday("14:00"))

    with pytest.raises(Refused, match="witness point of the client is open"):
        record(people, repair, THICKNESS, at=tuesday("13:59"))


def test_a_notice_given_after_a_failing_verdict_is_for_the_readings_to_come(
    people: People,
) -> None:
    repair = repair_with(people)
    notify(people, repair, tuesday("08:00"))
    mixed = {"mix_start": "2026-05-12T11:00+00:00", "mix_end": "2026-05-12T11:01+00:00"}
    record(people, repair, FILLER, [mixed])

    again = notify(people, repair, NOON + timedelta(hours=24), NOON)
    record(people, repair, FILLER, rework="Mixed anew")

    assert again.series == 2
    assert progress_of(repair)[FILLER - 1].notice_of(Party.CLIENT) == again


def test_a_notice_for_readings_that_failed_does_not_serve_for_the_next(people: People) -> None:
    repair = repair_with(people)
    notify(people, repair, tuesday("08:00"))
    mixed = {"mix_start": "2026-05-12T11:00+00:00", "mix_end": "2026-05-12T11:01+00:00"}
    record(people, repair, FILLER, [mixed])
    record(people, repair, FILLER, rework="Mixed anew")

    assert progress_of(repair)[FILLER - 1].notice_of(Party.CLIENT) is None
    with pytest.raises(Refused, match="witness point of the client is open"):
        record(people, repair, THICKNESS, at=NOON + timedelta(days=9))


def test_the_invited_party_accepts(people: People) -> None:
    notice = notify(people, repair_with(people), tuesday("08:00"))

    answer = accept(people, notice)

    assert (answer.notice, answer.answered_by_name, answer.note) == (
        notice,
        "Clara Kestle",
        "Two of us",
    )


@pytest.mark.parametrize("by", [Party.CONTRACTOR, Party.INSPECTOR])
def test_nobody_accepts_for_another_party(people: People, by: Party) -> None:
    notice = notify(people, repair_with(people), tuesday("08:00"))

    with pytest.raises(Refused, match=f"the notice is to the client, not to the {by}"):
        accept(people, notice, by)

    assert not NoticeAnswer.objects.exists()


def test_a_notice_is_accepted_once(people: People) -> None:
    notice = notify(people, repair_with(people), tuesday("08:00"))
    accept(people, notice)

    with pytest.raises(Refused, match="Clara Kestle has accepted the notice already"):
        accept(people, notice)


def test_a_notice_that_was_replaced_is_not_accepted(people: People) -> None:
    repair = repair_with(people)
    first = notify(people, repair, tuesday("08:00"))
    notify(people, repair, tuesday("14:00"))

    with pytest.raises(Refused, match="the notice is replaced"):
        accept(people, first)


@pytest.mark.parametrize(("minutes", "is_late"), [(0, False), (1, True)])
def test_a_notice_is_accepted_until_its_moment(people: People, minutes: int, is_late: bool) -> None:
    notice = notify(people, repair_with(people), tuesday("08:00"))
    at = tuesday("08:00") + timedelta(minutes=minutes)

    if is_late:
        with pytest.raises(Refused, match="the moment of the notice has passed"):
            accept(people, notice, at=at)
    else:
        assert accept(people, notice, at=at).pk


def test_a_notice_of_a_point_waived_since_is_not_accepted(people: People) -> None:
    repair = repair_with(people)
    notice = notify(people, repair, tuesday("14:00"))
    close(people, repair, FILLER, Manner.WAIVED, "No one to spare")

    with pytest.raises(Refused, match="the client's point is closed already"):
        accept(people, notice, at=NOON)


def test_a_notice_of_another_repair_is_not_found(people: People) -> None:
    notice = notify(people, repair_with(people), tuesday("08:00"))
    elsewhere = repair_on_site(people, number="R-2")

    with pytest.raises(Refused, match="There is no such notice on this repair"):
        accept_notice(
            repair_id=elsewhere.pk,
            notice_id=notice.pk,
            note="",
            **act_on(people, Party.CLIENT, MONDAY_EIGHT),
        )


def test_the_terms_stay_with_the_plan_when_its_steps_are_revised(people: People) -> None:
    repair = repair_with(people)

    assert [plan.terms for plan in Plan.objects.filter(repair=repair)][-1] == {"witness": CALLED}
