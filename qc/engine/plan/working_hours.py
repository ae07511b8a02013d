"""Counting hours while a site works: which moment is so many working hours after another.

Elapsed time is counted in UTC, so that a night in which the clocks change is as long as it really
is. Calculated by hand in the tests; no standard rules it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

_WEEK = range(1, 8)
_LONGEST = timedelta(days=366)
"""More working time than this is no notice period."""


@dataclass(frozen=True, kw_only=True)
class WorkingHours:
    """The hours of a site: ISO weekdays (1 is Monday), and from when to when on each of them.

    A day that ends no later than it starts ends on the next calendar day: 22:00 to 06:00 is a
    night shift, 00:00 to 00:00 the whole day. ValueError if no day is worked.
    """

    days: frozenset[int]
    starts: time
    ends: time
    zone: tzinfo

    def __post_init__(self) -> None:
        if not self.days or not self.days <= set(_WEEK):
            raise ValueError(f"working days {sorted(self.days)} are not some of 1 to 7")

    def after(self, moment: datetime, worked: timedelta) -> datetime:
        """The earliest moment at which `worked` has been worked since `moment`, in UTC.

        ValueError if `worked` is negative or longer than a year.
        """
        if not timedelta(0) <= worked <= _LONGEST:
            raise ValueError(f"{worked} is not between nothing and a year")
        reached, left = moment.astimezone(UTC), worked
        for opens, closes in self._shifts(reached):
            if not left:
                break
            start = max(reached, opens)
            stretch = min(left, max(closes - start, timedelta(0)))
            if stretch:
                reached, left = start + stretch, left - stretch
        return reached

    def _shifts(self, moment: datetime) -> Iterator[tuple[datetime, datetime]]:
        """The shifts from the one in which `moment` can fall, in UTC, without end."""
        day = moment.astimezone(self.zone).date() - timedelta(days=1)
        while True:
            if day.isoweekday() in self.days:
                yield self._shift(day)
            day += timedelta(days=1)

    def _shift(self, day: date) -> tuple[datetime, datetime]:
        last = day if self.starts < self.ends else day + timedelta(days=1)
        return (
            datetime.combine(day, self.starts, self.zone).astimezone(UTC),
            datetime.combine(last, self.ends, self.zone).astimezone(UTC),
        )
