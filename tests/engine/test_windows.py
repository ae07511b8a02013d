"""Time windows between steps: boundaries, both sides, units, and bounds that make no sense."""

from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest

from qc.engine.fields import InvalidValue
from qc.engine.plan import Fault, Window, time_between

DONE = datetime(2026, 5, 12, 11, 0, tzinfo=UTC)


def window(**bounds: str) -> Window:
    raw = {"after": "cleanliness", "source": "common practice", **bounds}
    return Window.parse(raw, "windows[0]")


@pytest.mark.parametrize(
    ("bounds", "after", "fault"),
    [
        ({"most": "4 hour"}, timedelta(hours=4), None),
        ({"most": "4 hour"}, timedelta(hours=4, microseconds=1), Fault.LATE),
        ({"most": "4 hour"}, timedelta(0), None),
        ({"most": "240 min"}, timedelta(hours=4), None),
        ({"most": "14400 s"}, timedelta(hours=4, seconds=1), Fault.LATE),
        ({"most": "0.1 hour"}, timedelta(minutes=6), None),
        ({"most": "0.1 hour"}, timedelta(minutes=6, microseconds=1), Fault.LATE),
        ({"least": "30 min"}, timedelta(minutes=30), None),
        ({"least": "30 min"}, timedelta(minutes=30, microseconds=-1), Fault.EARLY),
        ({"least": "0.5 day"}, timedelta(hours=12), None),
        ({"least": "0.5 day"}, timedelta(hours=11, minutes=59), Fault.EARLY),
        ({"least": "1 hour", "most": "1 hour"}, timedelta(hours=1), None),
        ({"least": "1 hour", "most": "4 hour"}, timedelta(minutes=59), Fault.EARLY),
        ({"least": "1 hour", "most": "4 hour"}, timedelta(hours=5), Fault.LATE),
        ({"least": "0 hour"}, timedelta(0), None),
        ({"most": "4 hour"}, timedelta(microseconds=-1), Fault.REVERSED),
        ({"least": "1 hour"}, timedelta(hours=-9), Fault.REVERSED),
    ],
)
def test_on_a_bound_a_window_conforms_and_beyond_it_is_broken(
    bounds: dict[str, str], after: timedelta, fault: Fault | None
) -> None:
    assert window(**bounds).fault(DONE, DONE + after) is fault


def test_the_clocks_of_two_places_are_compared_as_moments() -> None:
    begun = datetime(2026, 5, 12, 17, 0, tzinfo=timezone(timedelta(hours=2)))

    assert window(most="4 hour").fault(DONE, begun) is None


@pytest.mark.parametrize(
    ("raw", "path", "problem"),
    [
        ({"after": "a", "source": "x"}, "windows[0].least", "least time, its most, or both"),
        ({"source": "x", "most": "4 hour"}, "windows[0].after", "is required"),
        ({"after": "a", "most": "4 hour"}, "windows[0].source", "is required"),
        ({"after": "a", "most": "4 hour", "source": ""}, "windows[0].source", "is required"),
        (
            {"after": "a", "least": "5 hour", "most": "4 hour", "source": "x"},
            "windows[0].least",
            "5 h is above the latest, 4 h",
        ),
        (
            {"after": "a", "least": "241 min", "most": "4 hour", "source": "x"},
            "windows[0].least",
            "241 min is above the latest, 4 h",
        ),
        ({"after": "a", "most": "4 degC", "source": "x"}, "windows[0].most", "degC"),
        ({"after": "a", "most": "4", "source": "x"}, "windows[0].most", "not a number with a unit"),
        ({"after": "a", "most": 4, "source": "x"}, "windows[0].most", "not a text"),
        ({"after": "a", "most": "-4 hour", "source": "x"}, "windows[0].most", "below 0"),
        ({"after": "a", "latest": "4 hour", "source": "x"}, "windows[0].latest", "unknown"),
        ([], "windows[0]", "not an object"),
        ("4 hour", "windows[0]", "not an object"),
    ],
)
def test_a_window_that_makes_no_sense_is_refused_by_its_part(
    raw: Any, path: str, problem: str
) -> None:
    with pytest.raises(InvalidValue) as refused:
        Window.parse(raw, "windows[0]")

    assert refused.value.path == path
    assert problem in refused.value.problem


def test_a_window_says_when_it_opens_and_when_it_closes() -> None:
    both = window(least="15 min", most="4 hour")

    assert both.opens_at(DONE) == DONE + timedelta(minutes=15)
    assert both.closes_at(DONE) == DONE + timedelta(hours=4)
    assert window(most="4 hour").opens_at(DONE) is None
    assert window(least="15 min").closes_at(DONE) is None


def test_moments_within_a_second_are_told_on_the_safe_side() -> None:
    done = DONE + timedelta(milliseconds=400)

    assert window(least="1 min").opens_at(done) == DONE + timedelta(seconds=61)
    assert window(most="1 min").closes_at(done) == DONE + timedelta(seconds=60)


@pytest.mark.parametrize(
    ("bounds", "words"),
    [
        ({"most": "4 hour"}, "at most 4 h"),
        ({"least": "30 min"}, "at least 30 min"),
        ({"least": "0 min"}, "at least 0 min"),
        ({"least": "30 min", "most": "1 day"}, "at least 30 min and at most 1 d"),
    ],
)
def test_a_window_is_said_in_words(bounds: dict[str, str], words: str) -> None:
    assert window(**bounds).asked == words


@pytest.mark.parametrize(
    ("time", "words"),
    [
        (timedelta(hours=2, minutes=10), "2 h 10 min"),
        (timedelta(hours=4, seconds=1), "4 h 1 s"),
        (timedelta(hours=4, milliseconds=500), "4 h 0.5 s"),
        (timedelta(days=2), "48 h"),
        (timedelta(0), "0 min"),
        (timedelta(minutes=-5), "5 min"),
    ],
)
def test_a_time_that_misses_a_limit_never_prints_as_the_limit(time: timedelta, words: str) -> None:
    assert time_between(DONE, DONE + time) == words
