"""The terms of intervention points: what a plan may state, and when a notice is early enough."""

from datetime import UTC, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from qc.engine.fields import InvalidValue
from qc.engine.plan import Hours, Intervention, WorkingHours, terms_of

DUBLIN = ZoneInfo("Europe/Dublin")
SITE = WorkingHours(days=frozenset({1, 2, 3, 4, 5}), starts=time(7), ends=time(17), zone=DUBLIN)
CALLED: dict[str, Any] = {
    "code": "W1",
    "wording": "Witness: 24 h notice, then work continues",
    "needs_notice": True,
    "notice": "24 hour",
    "hours": "calendar",
    "lapses": True,
    "source": "contract, schedule 4",
}


def test_without_terms_a_plan_wants_no_notice_and_lets_nothing_lapse() -> None:
    terms = terms_of({})

    assert [t.code for t in terms.values()] == ["H", "W", "R", "S"]
    assert not any(t.needs_notice or t.lapses or t.period for t in terms.values())
    assert terms[Intervention.HOLD].wording.startswith("Hold point: ")


def test_a_plan_states_its_own_code_wording_and_notice() -> None:
    witness = terms_of({"witness": CALLED})[Intervention.WITNESS]

    assert (witness.code, witness.wording) == ("W1", CALLED["wording"])
    assert (witness.period, witness.hours) == (timedelta(hours=24), Hours.CALENDAR)
    assert witness.needs_notice and witness.lapses
    assert terms_of({"witness": CALLED})[Intervention.HOLD].code == "H"


def test_a_hold_lapses_only_where_the_plan_says_so() -> None:
    assert not terms_of({"hold": CALLED | {"lapses": False}})[Intervention.HOLD].lapses
    assert terms_of({"hold": CALLED})[Intervention.HOLD].lapses


@pytest.mark.parametrize(
    ("stated", "said"),
    [
        ({"monitor": {}}, "terms.monitor: is none of hold, witness, review, surveillance"),
        ({"witness": "24 h"}, "terms.witness: is no mapping"),
        ({"witness": {"colour": "red"}}, "terms.witness.colour: is unknown; allowed are code"),
        ({"witness": {"code": 7}}, "terms.witness.code: 7 is no text"),
        ({"witness": {"code": ""}}, "terms.witness.code: '' is not 1 to 4 characters"),
        ({"witness": {"code": "  "}}, "terms.witness.code"),
        ({"witness": {"code": "WITNS"}}, "terms.witness.code: 'WITNS' is not 1 to 4"),
        ({"witness": {"wording": ""}}, "terms.witness.wording: '' is not 1 to 300"),
        ({"witness": {"wording": "x" * 301}}, "is not 1 to 300 characters"),
        ({"witness": {"code": "h"}}, "'H' stands for two|'h' stands for two"),
        ({"hold": {"code": "X"}, "review": {"code": "x"}}, "terms.hold.code: 'X' stands for two"),
        ({"witness": {"needs_notice": 1}}, "terms.witness.needs_notice: 1 is neither"),
        ({"witness": {"lapses": "yes"}}, "terms.witness.lapses: 'yes' is neither true nor false"),
        ({"witness": {"notice": 24}}, "terms.witness.notice: 24 is no text"),
        ({"witness": CALLED | {"notice": "24"}}, "terms.witness.notice: '24' is not a number with"),
        ({"witness": CALLED | {"notice": "24 mm"}}, "terms.witness.notice: 'mm' is a unit of"),
        ({"witness": CALLED | {"notice": "0 hour"}}, "more than nothing and at most 60 day"),
        ({"witness": CALLED | {"notice": "-1 hour"}}, "more than nothing and at most 60 day"),
        ({"witness": CALLED | {"notice": "61 day"}}, "more than nothing and at most 60 day"),
        ({"witness": CALLED | {"hours": "office"}}, "'office' is neither calendar nor working"),
        ({"witness": CALLED | {"source": " "}}, "terms.witness.source: a notice period states"),
        ({"witness": {"needs_notice": True}}, "terms.witness.notice: is missing"),
        ({"witness": CALLED | {"needs_notice": False}}, "is stated, but needs_notice is not"),
        ({"witness": {"lapses": True}}, "terms.witness.lapses: a point lapses only after a notice"),
        ({"review": CALLED | {"code": "R"}}, "terms.review: only a hold or a witness"),
        ({"surveillance": {"lapses": True}}, "terms.surveillance: only a hold or a witness"),
    ],
)
def test_terms_that_make_no_sense_are_named(stated: dict[str, Any], said: str) -> None:
    with pytest.raises(InvalidValue, match=said):
        terms_of(stated)


@pytest.mark.parametrize("notice", ["1 s", "90 min", "24 hour", "3 day", "60 day"])
def test_a_notice_is_a_time_up_to_sixty_days(notice: str) -> None:
    assert terms_of({"witness": CALLED | {"notice": notice}})[Intervention.WITNESS].period


def earliest(given_at: datetime, hours: str = "calendar", notice: str = "24 hour") -> datetime:
    stated = {"witness": CALLED | {"hours": hours, "notice": notice}}
    return terms_of(stated)[Intervention.WITNESS].earliest(given_at, SITE)


@pytest.mark.parametrize(
    ("scheduled", "is_early"), [("07:59", True), ("08:00", False), ("08:01", False)]
)
def test_a_notice_of_monday_at_eight_is_for_tuesday_at_eight(
    scheduled: str, is_early: bool
) -> None:
    """Check value: sent Monday 08:00 with 24 h, Tuesday 07:59 is early and 08:00 is not."""
    sent = datetime(2026, 5, 11, 8, 0, tzinfo=DUBLIN)
    moment = datetime.combine(datetime(2026, 5, 12), time.fromisoformat(scheduled), DUBLIN)  # noqa: DTZ001

    assert (moment < earliest(sent)) is is_early


def test_twenty_four_hours_are_that_long_also_when_the_clocks_change() -> None:
    """The night to 29 March 2026 is an hour short in Dublin, that to 25 October an hour long."""
    spring = datetime(2026, 3, 28, 8, 0, tzinfo=DUBLIN)
    autumn = datetime(2026, 10, 24, 8, 0, tzinfo=DUBLIN)

    assert earliest(spring) == datetime(2026, 3, 29, 9, 0, tzinfo=DUBLIN)
    assert earliest(autumn) == datetime(2026, 10, 25, 7, 0, tzinfo=DUBLIN)


def test_working_hours_leave_the_weekend_out() -> None:
    friday = datetime(2026, 5, 15, 12, 0, tzinfo=DUBLIN)

    assert earliest(friday, "working", "10 hour") == datetime(2026, 5, 18, 12, 0, tzinfo=DUBLIN)
    assert earliest(friday, "calendar", "10 hour") == datetime(2026, 5, 15, 22, 0, tzinfo=DUBLIN)


def test_without_a_period_any_moment_from_now_on_is_early_enough() -> None:
    now = datetime(2026, 5, 15, 12, 0, tzinfo=UTC)

    assert terms_of({})[Intervention.WITNESS].earliest(now, SITE) == now
