"""Broken time windows and unsound prerequisites, followed live through corrections and rework."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from qc.engine.lifecycle import Refused
from qc.engine.plan import Doubt, Party, open_items
from qc.engine.rules import Outcome
from qc.records.models import Nonconformance, Repair
from qc.records.progress import progress_of
from qc.workflow import Observation, correct_inspection
from qc.workflow.doubts import doubts_of
from qc.workflow.facts import gather
from tests.factories import NOON, READINGS, SHORT_PLAN, act_on, record, repair_on_site
from tests.people import People

SURFACE, COAT = 1, 2
LATER = NOON + timedelta(days=2)
"""The moment at which things are recorded here, after all that was observed."""

FOUR_HOURS = {"after": "surface", "most": "4 hour", "source": "common practice"}

SURFACE_STEP = replace(
    SHORT_PLAN[0], key="surface", title="Surface blasted", instrument_kinds=(), points={}
)
COAT_STEP = replace(
    SHORT_PLAN[1], key="coat", title="First coat", needs_batch=False, points={}, criteria={},
    sources={}, characteristic="visual", activity="Coat",
)  # fmt: skip
CHECKLIST = {"items": [{"item": "Coat", "asked": "even"}]}


def plan(**on_coat: Any) -> tuple[Any, Any]:
    coat = replace(COAT_STEP, criteria=CHECKLIST, sources={"items": "common practice"}, **on_coat)
    return SURFACE_STEP, coat


def inspect(people: People, repair: Repair, position: int, at: timedelta, **more: Any) -> int:
    readings = (
        more.pop("readings", None)
        or {
            SURFACE: READINGS[1],
            COAT: [{"item": "Coat", "accepted": True}],
        }[position]
    )
    record(people, repair, position, readings, at=LATER, observed_at=NOON + at, **more)
    return latest(repair, position)


def latest(repair: Repair, position: int) -> int:
    return progress_of(repair)[position - 1].inspections[-1].pk


def doubts(repair: Repair, position: int = COAT) -> list[Doubt]:
    progress = progress_of(repair)
    return doubts_of({repair: progress})[repair.pk, progress[position - 1].step.key]


def said(repair: Repair, position: int = COAT) -> list[str]:
    return [doubt.statement for doubt in doubts(repair, position)]


def correct(
    people: People, repair: Repair, position: int, inspection: int, at: datetime, **more: Any
) -> None:
    readings = more.get("readings") or READINGS[1]
    correct_inspection(
        repair_id=repair.pk,
        position=position,
        inspection_id=inspection,
        reason="misread",
        observation=Observation(readings=readings, observed_at=at),
        **act_on(people, Party.INSPECTOR, LATER),
    )


WET = [READINGS[1][0] | {"humidity": "95 %"}]


@pytest.mark.parametrize(
    ("after", "is_broken"),
    [
        (timedelta(hours=4), False),
        (timedelta(hours=4, seconds=1), True),
        (timedelta(0), False),
        (timedelta(seconds=-1), True),
    ],
)
def test_a_window_is_judged_by_the_real_times(
    people: People, after: timedelta, is_broken: bool
) -> None:
    repair = repair_on_site(people, plan(windows=(FOUR_HOURS,)))
    inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, after)

    assert [d.rule for d in doubts(repair)] == (["window"] if is_broken else [])
    assert doubts(repair, SURFACE) == []


def test_a_broken_window_says_times_limit_and_source_and_blocks_the_release(
    people: People,
) -> None:
    repair = repair_on_site(people, plan(windows=(FOUR_HOURS,)))
    inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, timedelta(hours=5, minutes=1))

    (blocker,) = open_items(gather(repair, progress_of(repair), at=LATER).steps)
    assert (blocker.rule, blocker.step, blocker.place) == ("window", COAT, "step")
    assert blocker.party is Party.INSPECTOR
    assert blocker.statement == (
        "Step 2, First coat: too late: begun 12 May 2026 17:01, 5 h 1 min after step 1,"
        " Surface blasted (12 May 2026 12:00); at most 4 h is allowed (common practice)."
    )


def test_a_second_too_late_is_printed_as_such(people: People) -> None:
    repair = repair_on_site(people, plan(windows=(FOUR_HOURS,)))
    inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, timedelta(hours=4, milliseconds=500))

    assert "begun 12 May 2026 16:00:00.5, 4 h 0.5 s after" in said(repair)[0]


def test_work_begun_too_early_breaks_the_window(people: People) -> None:
    cure = {"after": "surface", "least": "2 hour", "source": "data sheet"}
    repair = repair_on_site(people, plan(windows=(cure,)))
    inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, timedelta(hours=1, minutes=59))

    assert "too early: begun 12 May 2026 13:59, 1 h 59 min after" in said(repair)[0]
    assert "at least 2 h is allowed (data sheet)" in said(repair)[0]


def test_work_in_the_wrong_order_breaks_the_window(people: People) -> None:
    repair = repair_on_site(people, plan(windows=(FOUR_HOURS,)))
    inspect(people, repair, COAT, timedelta(0))
    assert doubts(repair) == []

    inspect(people, repair, SURFACE, timedelta(minutes=5))

    assert "in the wrong order: begun 12 May 2026 12:00, 5 min before step 1" in said(repair)[0]


def test_the_window_runs_from_the_last_moment_of_the_earlier_step_to_the_first_of_the_later(
    people: People,
) -> None:
    repair = repair_on_site(people, plan(windows=(FOUR_HOURS,)))
    inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, SURFACE, timedelta(hours=1))
    inspect(people, repair, COAT, timedelta(hours=5))
    inspect(people, repair, COAT, timedelta(hours=9))

    assert doubts(repair) == []


def test_every_window_of_a_step_is_judged(people: People) -> None:
    both = ({**FOUR_HOURS, "most": "1 hour"}, {"after": "coat", "least": "9 hour", "source": "x"})
    third = replace(plan()[1], key="second", title="Second coat", windows=both)
    repair = repair_on_site(people, (*plan(), third))
    inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, timedelta(hours=1))
    record(
        people, repair, 3, [{"item": "Coat", "accepted": True}],
        at=LATER, observed_at=NOON + timedelta(hours=2),
    )  # fmt: skip

    assert [d.rule for d in doubts(repair, 3)] == ["window", "window"]


def test_a_corrected_moment_of_the_earlier_step_moves_the_window(people: People) -> None:
    repair = repair_on_site(people, plan(windows=(FOUR_HOURS,)))
    first = inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, timedelta(hours=5))
    assert said(repair)

    correct(people, repair, SURFACE, first, NOON + timedelta(hours=1))
    assert said(repair) == []

    correct(people, repair, SURFACE, latest(repair, SURFACE), NOON)
    assert said(repair)


def test_a_broken_window_is_mended_by_doing_both_steps_again(people: People) -> None:
    repair = repair_on_site(people, plan(windows=(FOUR_HOURS,)))
    inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, timedelta(hours=5))

    again: dict[str, Any] = {"new_series": True, "rework": "blasted again"}
    inspect(people, repair, SURFACE, timedelta(hours=8), **again)
    assert "in the wrong order" in said(repair)[0]
    inspect(people, repair, COAT, timedelta(hours=9), **again | {"rework": "coated again"})

    assert said(repair) == []
    progress = progress_of(repair)
    assert [p.series for p in progress] == [2, 2]
    assert [i.rework for i in progress[0].inspections] == ["", "blasted again"]
    assert [p.outcome for p in progress] == [Outcome.CONFORMS] * 2


def test_a_new_series_that_is_asked_for_says_what_was_done(people: People) -> None:
    repair = repair_on_site(people, plan())
    inspect(people, repair, SURFACE, timedelta(0))

    with pytest.raises(Refused, match="say what was done since it was inspected"):
        inspect(people, repair, SURFACE, timedelta(hours=1), new_series=True, rework=" ")


def test_a_new_series_follows_something_recorded(people: People) -> None:
    repair = repair_on_site(people, plan())

    with pytest.raises(Refused, match="no conforming verdict to begin anew from"):
        inspect(people, repair, SURFACE, timedelta(0), new_series=True, rework="blasted")


def test_incomplete_readings_are_completed_and_not_begun_anew(people: People) -> None:
    surface = replace(SURFACE_STEP, characteristic="hardness", criteria=SHORT_PLAN[3].criteria,
                      sources=SHORT_PLAN[3].sources)  # fmt: skip
    repair = repair_on_site(people, (surface, plan()[1]))
    few = [{"values": ["80", "81"]}]
    inspect(people, repair, SURFACE, timedelta(0), readings=few)
    assert progress_of(repair)[0].outcome is Outcome.INCOMPLETE

    with pytest.raises(Refused, match="go on with its readings"):
        again = {"new_series": True, "rework": "better place", "readings": few}
        inspect(people, repair, SURFACE, timedelta(0), **again)


RESTS = {"prerequisites": ("surface",)}


@pytest.mark.parametrize(
    ("readings", "state"),
    [
        (None, "has not been inspected"),
        (WET, "does not conform"),
        ([{"air": "21 degC"}], "cannot be judged"),
    ],
)
def test_a_step_rests_on_a_prerequisite_that_conforms(
    people: People, readings: Any, state: str
) -> None:
    repair = repair_on_site(people, plan(**RESTS))
    if readings:
        inspect(people, repair, SURFACE, timedelta(0), readings=readings)
    assert doubts(repair) == []

    inspect(people, repair, COAT, timedelta(hours=1))

    (doubt,) = doubts(repair)
    assert doubt.rule == "prerequisite"
    assert doubt.statement == f"rests on step 1, Surface blasted, which {state}"


def test_a_prerequisite_inspected_first_raises_no_doubt(people: People) -> None:
    repair = repair_on_site(people, plan(**RESTS))
    inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, timedelta(0))
    inspect(people, repair, SURFACE, timedelta(hours=3))

    assert doubts(repair) == []


def test_a_prerequisite_corrected_so_that_it_fails_casts_doubt_until_it_conforms_again(
    people: People,
) -> None:
    repair = repair_on_site(people, plan(**RESTS))
    first = inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, timedelta(hours=1))

    correct(people, repair, SURFACE, first, NOON, readings=WET)
    assert said(repair) == ["rests on step 1, Surface blasted, which does not conform"]

    correct(people, repair, SURFACE, latest(repair, SURFACE), NOON)
    assert said(repair) == []


def test_a_prerequisite_done_again_later_casts_doubt_until_the_step_is_done_again(
    people: People,
) -> None:
    repair = repair_on_site(people, plan(**RESTS))
    inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, timedelta(hours=1))

    again: dict[str, Any] = {"new_series": True, "rework": "blasted again"}
    inspect(people, repair, SURFACE, timedelta(hours=2), **again)
    assert said(repair) == [
        "rests on step 1, Surface blasted, which was inspected again later, on 12 May 2026 14:00"
    ]
    assert progress_of(repair)[1].outcome is Outcome.CONFORMS

    inspect(people, repair, COAT, timedelta(hours=3), **again | {"rework": "coated again"})
    assert said(repair) == []


def test_a_prerequisite_inspected_only_afterwards_casts_doubt(people: People) -> None:
    repair = repair_on_site(people, plan(**RESTS))
    inspect(people, repair, COAT, timedelta(hours=1))
    inspect(people, repair, SURFACE, timedelta(hours=1, seconds=1))

    assert said(repair) == [
        "rests on step 1, Surface blasted, which was inspected later, on 12 May 2026 13:00"
    ]


def test_doubts_of_many_repairs_take_no_query_of_their_own(people: People) -> None:
    repair = repair_on_site(people, plan(windows=(FOUR_HOURS,), **RESTS))
    inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, timedelta(hours=5))
    progress = {repair: progress_of(repair)}

    with CaptureQueriesContext(connection) as queries:
        found = doubts_of(progress)

    assert [d.rule for d in found[repair.pk, "coat"]] == ["window"]
    assert len(queries) <= 1  # the repair's project, for its clock


def test_a_window_found_broken_opens_a_report_by_itself_and_only_one(people: People) -> None:
    repair = repair_on_site(people, plan(windows=(FOUR_HOURS,)))
    inspect(people, repair, SURFACE, timedelta(0))
    first = inspect(people, repair, COAT, timedelta(hours=5))
    inspect(people, repair, COAT, timedelta(hours=6))

    (report,) = Nonconformance.objects.all()
    assert (report.origin, report.inspection_id) == ("window", first)
    assert report.statement.startswith("Step 2, First coat: too late: begun 12 May 2026 17:00")
    assert gather(repair, progress_of(repair), at=LATER).reports


def test_a_window_that_was_kept_opens_none(people: People) -> None:
    repair = repair_on_site(people, plan(windows=(FOUR_HOURS,), **RESTS))
    inspect(people, repair, SURFACE, timedelta(0))
    inspect(people, repair, COAT, timedelta(hours=4))

    assert not Nonconformance.objects.exists()


def test_a_corrected_moment_that_breaks_the_window_opens_one(people: People) -> None:
    repair = repair_on_site(people, plan(windows=(FOUR_HOURS,)))
    inspect(people, repair, SURFACE, timedelta(0))
    coat = inspect(people, repair, COAT, timedelta(hours=4))

    accepted = [{"item": "Coat", "accepted": True}]
    correct(people, repair, COAT, coat, NOON + timedelta(hours=5), readings=accepted)

    assert Nonconformance.objects.get().origin == "window"
