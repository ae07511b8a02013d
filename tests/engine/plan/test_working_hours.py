"""Working hours over nights, weekends and changes of the clocks; expected moments by hand."""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.plan import WorkingHours

DUBLIN = ZoneInfo("Europe/Dublin")
CARACAS = ZoneInfo("America/Caracas")


def site(
    days: str = "12345", starts: int = 7, ends: int = 17, zone: ZoneInfo = DUBLIN
) -> WorkingHours:
    return WorkingHours(
        days=frozenset(int(day) for day in days), starts=time(starts), ends=time(ends), zone=zone
    )


def at(day: int, clock: str, month: int = 5, zone: ZoneInfo = DUBLIN) -> datetime:
    """A moment of 2026; 11 May 2026 is a Monday."""
    return datetime.combine(datetime(2026, month, day), time.fromisoformat(clock), zone)  # noqa: DTZ001


@pytest.mark.parametrize(
    ("given_day", "clock", "hours", "day", "reached"),
    [
        (11, "08:00", 0, 11, "08:00"),
        (11, "08:00", 4, 11, "12:00"),
        (11, "08:00", 9, 11, "17:00"),
        (11, "08:00", 10, 12, "08:00"),
        (11, "08:00", 24, 13, "12:00"),
        (11, "07:00", 10, 11, "17:00"),
        (11, "03:00", 1, 11, "08:00"),
        (11, "17:00", 1, 12, "08:00"),
        (11, "23:59", 1, 12, "08:00"),
        (15, "16:00", 2, 18, "08:00"),
        (16, "10:00", 1, 18, "08:00"),
        (17, "23:00", 10, 18, "17:00"),
        (15, "17:00", 50, 22, "17:00"),
    ],
)
def test_only_hours_that_are_worked_count(
    given_day: int, clock: str, hours: int, day: int, reached: str
) -> None:
    assert site().after(at(given_day, clock), timedelta(hours=hours)) == at(day, reached)


@pytest.mark.parametrize(
    ("clock", "worked", "reached"),
    [
        ("16:59:59", timedelta(seconds=1), "17:00"),
        ("16:59:59.999999", timedelta(microseconds=1), "17:00"),
        ("06:59:59", timedelta(seconds=1), "07:00:01"),
    ],
)
def test_the_last_instant_of_a_day_counts(clock: str, worked: timedelta, reached: str) -> None:
    assert site().after(at(11, clock), worked) == at(11, reached)


def test_one_instant_more_than_a_day_runs_into_the_next() -> None:
    worked = timedelta(hours=10, microseconds=1)

    assert site().after(at(11, "07:00"), worked) == at(12, "07:00:00.000001")


@pytest.mark.parametrize(
    ("days", "reached"),
    [("12345", 18), ("123456", 16), ("1234567", 16), ("1", 18), ("7", 17), ("5", 22)],
)
def test_a_friday_evening_waits_for_the_next_day_that_is_worked(days: str, reached: int) -> None:
    assert site(days).after(at(15, "17:00"), timedelta(hours=1)) == at(reached, "08:00")


def test_a_night_shift_ends_on_the_next_day() -> None:
    nights = site("12345", 22, 6)

    assert nights.after(at(11, "21:00"), timedelta(hours=8)) == at(12, "06:00")
    assert nights.after(at(12, "02:00"), timedelta(hours=5)) == at(12, "23:00")
    # Friday's shift runs into Saturday, the next begins on Monday.
    assert nights.after(at(16, "05:00"), timedelta(hours=2)) == at(18, "23:00")


def test_a_site_that_never_rests_counts_like_the_calendar() -> None:
    always = site("1234567", 0, 0)

    assert always.after(at(15, "17:30"), timedelta(hours=72)) == at(18, "17:30")


@pytest.mark.parametrize(
    ("day", "month", "hours"),
    [(28, 3, 7), (24, 10, 9)],
    ids=["clocks go forward", "clocks go back"],
)
def test_a_night_of_changing_clocks_is_as_long_as_it_is(day: int, month: int, hours: int) -> None:
    """Dublin changes at 01:00 UTC on 29 March and 25 October 2026: 22:00 to 06:00 is 7 or 9 h."""
    nights = site("1234567", 22, 6)
    worked = timedelta(hours=hours)

    assert nights.after(at(day, "22:00", month), worked) == at(day + 1, "06:00", month)
    later = worked + timedelta(hours=1)
    assert nights.after(at(day, "22:00", month), later) == at(day + 1, "23:00", month)


def test_day_work_does_not_notice_that_the_clocks_changed_over_the_weekend() -> None:
    """27 March 2026 is a Friday, the clocks change on Sunday."""
    assert site().after(at(27, "16:00", 3), timedelta(hours=2)) == at(30, "08:00", 3)


def test_the_clock_of_the_site_counts_and_not_that_of_the_moment() -> None:
    sent = datetime(2026, 5, 11, 11, 0, tzinfo=UTC)

    reached = site(zone=CARACAS).after(sent, timedelta(hours=10))

    assert reached == at(11, "17:00", zone=CARACAS)
    assert reached.tzinfo is UTC


@pytest.mark.parametrize("days", [frozenset(), frozenset({0}), frozenset({1, 8})])
def test_days_that_are_no_weekdays_are_refused(days: frozenset[int]) -> None:
    with pytest.raises(ValueError, match="working days"):
        WorkingHours(days=days, starts=time(7), ends=time(17), zone=DUBLIN)


@pytest.mark.parametrize("worked", [timedelta(microseconds=-1), timedelta(days=367)])
def test_a_time_that_is_no_notice_is_refused(worked: timedelta) -> None:
    with pytest.raises(ValueError, match="between nothing and a year"):
        site().after(at(11, "08:00"), worked)


_DAYS = st.sets(st.integers(1, 7), min_size=1).map(frozenset)
_CLOCK = st.builds(time, st.integers(0, 23), st.sampled_from([0, 15, 30]))
_SITE = st.builds(
    WorkingHours,
    days=_DAYS,
    starts=_CLOCK,
    ends=_CLOCK,
    zone=st.sampled_from([DUBLIN, CARACAS, ZoneInfo("Australia/Lord_Howe")]),
)
_MOMENT = st.datetimes(datetime(2026, 1, 1), datetime(2026, 12, 1)).map(  # noqa: DTZ001
    lambda moment: moment.replace(tzinfo=UTC)
)
_WORKED = st.integers(0, 60 * 24 * 8).map(lambda minutes: timedelta(minutes=minutes))


@given(_SITE, _MOMENT, _WORKED, _WORKED)
def test_two_stretches_in_a_row_are_one_long_stretch(
    working: WorkingHours, moment: datetime, one: timedelta, other: timedelta
) -> None:
    assert working.after(working.after(moment, one), other) == working.after(moment, one + other)


@given(_SITE, _MOMENT, _WORKED)
def test_working_time_never_passes_faster_than_time(
    working: WorkingHours, moment: datetime, worked: timedelta
) -> None:
    assert working.after(moment, worked) >= moment + worked
