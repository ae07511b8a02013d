"""Which times an instrument can't be trusted in: since it was last known to be good."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.metrology import CalibrationFact, CheckFact, Span, spans_of

MIDNIGHT = datetime(2026, 5, 12, tzinfo=UTC)
DAY = timedelta(days=1)


def at(hour: float, day: int = 0) -> datetime:
    return MIDNIGHT + timedelta(days=day, hours=hour)


def check(id: int, moment: datetime, passed: bool, after_use: bool = True, **more: datetime):
    recorded_at = more.get("recorded_at", moment)
    return CheckFact(id=id, at=moment, recorded_at=recorded_at, passed=passed, after_use=after_use)


def calibration(id: int, day: int, bad_since: datetime | None = None, recorded: int = -900):
    return CalibrationFact(
        id=id,
        starts=at(0, day),
        day_ends=at(0, day + 1),
        recorded_at=at(0, recorded),
        bad_since=bad_since,
    )


def is_suspect(spans: tuple[Span, ...], moment: datetime) -> bool:
    return any(span.covers(moment) for span in spans)


def test_an_instrument_whose_checks_pass_is_trusted() -> None:
    assert spans_of([check(1, at(7), True), check(2, at(17), True)], [calibration(1, -100)]) == ()


def test_a_failed_check_reaches_back_to_the_last_passed_one() -> None:
    checks = [check(1, at(7), True, after_use=False), check(2, at(17), False)]
    spans = spans_of(checks, [calibration(1, -100)])

    assert [is_suspect(spans, at(h)) for h in (6, 7, 12, 17)] == [False, True, True, True]
    assert (spans[0].since, spans[0].check) == (at(7), 2)


def test_without_a_passed_check_it_reaches_back_to_the_start_of_the_calibration() -> None:
    spans = spans_of([check(1, at(17), False)], [calibration(1, -100), calibration(2, -10)])

    assert spans[0].since == at(0, -10)
    assert not is_suspect(spans, at(23, -11))
    assert is_suspect(spans, at(0, -10))


def test_with_neither_all_that_was_ever_read_is_suspect() -> None:
    spans = spans_of([check(1, at(17), False)], [])

    assert spans[0].since is None
    assert is_suspect(spans, at(0, -5000))


def test_the_later_of_check_and_calibration_counts() -> None:
    checks = [check(1, at(7, -20), True), check(2, at(17), False)]

    assert spans_of(checks, [calibration(1, -10)])[0].since == at(0, -10)
    assert spans_of(checks, [calibration(1, -30)])[0].since == at(7, -20)


def test_a_reading_in_the_minute_of_a_passed_check_after_use_was_taken_before_it() -> None:
    before_use, after_use = (
        spans_of([check(1, at(7), True, after_use=kind), check(2, at(17), False)], [])
        for kind in (False, True)
    )
    assert is_suspect(before_use, at(7))
    assert not is_suspect(after_use, at(7))
    assert is_suspect(after_use, at(7) + timedelta(seconds=1))


def test_what_is_read_after_the_failure_is_suspect_until_the_next_good_moment() -> None:
    checks = [check(1, at(17), False), check(2, at(9, 1), True)]
    spans = spans_of(checks, [])

    moments = (at(17), at(20), at(8, 1), at(9, 1), at(12, 1))
    assert [is_suspect(spans, m) for m in moments] == [True, True, True, False, False]


def test_a_later_calibration_that_holds_ends_it_from_the_next_day_on() -> None:
    failed = check(1, at(17), False)

    assert spans_of([failed], [calibration(1, 2)])[0].until == at(0, 2)
    assert spans_of([failed], [calibration(1, 0)])[0] == Span(
        since=None, until=None, found_at=at(17), check=1
    )


def test_a_pass_in_the_very_minute_of_the_failure_leaves_that_minute_suspect() -> None:
    spans = spans_of([check(1, at(17), False), check(2, at(17), True)], [])

    assert is_suspect(spans, at(17))
    assert not is_suspect(spans, at(17) + timedelta(seconds=1))


def test_a_pass_entered_once_the_fault_is_known_does_not_shorten_it() -> None:
    late = check(3, at(12), True, recorded_at=at(18))
    spans = spans_of([check(1, at(7), True), check(2, at(17), False), late], [])

    assert spans[0].since == at(7)


def test_failures_one_after_the_other_are_one_time() -> None:
    checks = [check(1, at(15), False), check(2, at(16), False), check(3, at(18), True)]
    again = [*checks, check(4, at(20), False)]

    assert [s.check for s in spans_of(checks, [])] == [1]
    assert [(s.check, s.since) for s in spans_of(again, [])] == [(1, None), (4, at(18))]


def test_a_withdrawn_calibration_is_bad_until_the_next_one_that_holds() -> None:
    bad = calibration(1, -100, bad_since=at(8))
    spans = spans_of([check(1, at(12), True)], [bad, calibration(2, 5)])

    moments = (at(7), at(8), at(13), at(23, 4), at(0, 5))
    assert [is_suspect(spans, m) for m in moments] == [False, True, True, True, False]
    assert spans[0].calibration == 1


def test_a_withdrawn_calibration_does_not_vouch_for_a_later_one_that_is_withdrawn_too() -> None:
    spans = spans_of(
        [], [calibration(1, -100, bad_since=at(8)), calibration(2, 5, bad_since=at(0, 5))]
    )
    assert is_suspect(spans, at(0, 9))


def test_a_calibration_bad_from_its_start_is_no_good_moment() -> None:
    failed = check(1, at(17), False)

    assert spans_of([failed], [calibration(1, -10, bad_since=at(0, -10))])[0].since is None
    assert spans_of([failed], [calibration(1, -10, bad_since=at(1, -10))])[0].since == at(0, -10)


_HOURS = st.integers(0, 200)


@given(
    st.lists(st.tuples(_HOURS, st.booleans(), st.booleans()), max_size=8),
    st.lists(st.integers(-5, 8), max_size=3),
    _HOURS,
)
def test_one_more_failure_never_makes_a_reading_trusted(
    checks: list[tuple[int, bool, bool]], days: list[int], failure: int
) -> None:
    facts = [check(n, at(h), ok, use) for n, (h, ok, use) in enumerate(checks, start=1)]
    calibrations = [calibration(n, day) for n, day in enumerate(days, start=1)]
    before = spans_of(facts, calibrations)
    after = spans_of([*facts, check(99, at(failure), False)], calibrations)

    for hour in range(-150, 220):
        assert is_suspect(after, at(hour)) or not is_suspect(before, at(hour))
    assert is_suspect(after, at(failure))


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 2, 0)])
def test_the_order_in_which_checks_are_given_does_not_matter(order: tuple[int, ...]) -> None:
    checks = [check(1, at(7), True), check(2, at(12), False), check(3, at(17), True)]

    assert spans_of([checks[i] for i in order], []) == spans_of(checks, [])
