"""Which readings of an instrument are suspect: those since the last time it was known to be good.

Source: common practice. An instrument is known to be good at a passed check and at the start of a
calibration that holds. Found out of tolerance, all it read since the last such moment is suspect,
and so is what it goes on to read until the next one. A calibration withdrawn as bad leaves
everything suspect from the moment since when it was bad until the next calibration that holds.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, kw_only=True)
class CheckFact:
    """A check: its id, when it was made, when it was entered, and whether it passed.

    `after_use`: the readings it follows on the same minute were taken before it.
    """

    id: int
    at: datetime
    recorded_at: datetime
    passed: bool
    after_use: bool = True


@dataclass(frozen=True, kw_only=True)
class CalibrationFact:
    """A calibration: its id, its day from start to end at the site, when it was entered.

    `bad_since` is the moment since which a withdrawn one can't be relied on, None while it holds.
    """

    id: int
    starts: datetime
    day_ends: datetime
    recorded_at: datetime
    bad_since: datetime | None = None


@dataclass(frozen=True, kw_only=True)
class Span:
    """A time in which the instrument can't be trusted.

    `since` is the last good moment (None: there is none on record) and `is_since_trusted` whether
    what was read in that very minute still counts; `until` is the next good moment (None: none
    yet). `found_at` is when the fault showed: the failed check, or the moment since when the
    calibration was bad. `check` or `calibration` is the id of what showed it.
    """

    since: datetime | None
    until: datetime | None
    found_at: datetime
    check: int | None = None
    calibration: int | None = None
    is_since_trusted: bool = False

    def covers(self, moment: datetime) -> bool:
        """Whether a reading of this moment is suspect."""
        if moment == self.found_at:
            return True
        is_begun = self.since is None or moment > self.since
        if moment == self.since and not self.is_since_trusted:
            is_begun = True
        return is_begun and (self.until is None or moment < self.until)


@dataclass(frozen=True)
class _Good:
    at: datetime
    order: int
    recorded_at: datetime
    is_trusted_then: bool


def spans_of(
    checks: Iterable[CheckFact], calibrations: Iterable[CalibrationFact]
) -> tuple[Span, ...]:
    """The times in which an instrument can't be trusted, one for each fault that opens one.

    A good moment that was entered only after a check had failed does not move the beginning: what
    is written down when the fault is known proves nothing about the time before it.
    """
    ordered, kept = sorted(checks, key=lambda c: (c.at, c.id)), tuple(calibrations)
    good = sorted(_good(ordered, kept), key=lambda g: (g.at, g.order))
    return (*_of_checks(ordered, good), *_of_calibrations(kept))


def _good(checks: Sequence[CheckFact], calibrations: Sequence[CalibrationFact]) -> Iterator[_Good]:
    for check in checks:
        if check.passed:
            yield _Good(check.at, check.id, check.recorded_at, check.after_use)
    failed = [check.at for check in checks if not check.passed]
    for one in calibrations:
        held = one.bad_since is None or one.bad_since > one.starts
        # On a day with a failed check, which of the two came first can't be told.
        if held and not any(one.starts <= at < one.day_ends for at in failed):
            yield _Good(one.starts, 0, one.recorded_at, False)


def _of_checks(checks: Sequence[CheckFact], good: Sequence[_Good]) -> Iterator[Span]:
    covered: Span | None = None
    for check in checks:
        if check.passed or (covered is not None and _goes_on(covered, check)):
            continue
        mine = (check.at, check.id)
        before = [g for g in good if (g.at, g.order) < mine and g.recorded_at <= check.recorded_at]
        after = [g for g in good if (g.at, g.order) > mine]
        covered = Span(
            since=before[-1].at if before else None,
            until=after[0].at if after else None,
            found_at=check.at,
            check=check.id,
            is_since_trusted=bool(before) and before[-1].is_trusted_then,
        )
        yield covered


def _goes_on(span: Span, check: CheckFact) -> bool:
    """Whether a further failed check falls into a span that is known."""
    return span.until is None or check.at < span.until


def _of_calibrations(calibrations: Sequence[CalibrationFact]) -> Iterator[Span]:
    for one in calibrations:
        if one.bad_since is None:
            continue
        later = [c.starts for c in calibrations if c.bad_since is None and c.starts > one.starts]
        # What the next one vouches for ends the time, but not before this one went bad.
        after = [start for start in later if start > one.bad_since]
        yield Span(
            since=one.bad_since,
            until=min(after) if after else None,
            found_at=one.bad_since,
            calibration=one.id,
        )
