"""Exact time between two moments, and the moment a time after another."""

from datetime import datetime, timedelta
from fractions import Fraction

from qc.engine.quantities import Quantity


def hours_between(start: datetime, end: datetime) -> Fraction:
    """Hours from `start` to `end`, exact to the microsecond; below zero where `end` is earlier."""
    return Fraction((end - start) // timedelta(microseconds=1), 3_600_000_000)


def elapsed(start: datetime, end: datetime, unit: str = "min") -> Quantity:
    """The time from `start` to `end` in `unit`, exact."""
    return Quantity(hours_between(start, end), "hour").to(unit)


def hours_of(time: Quantity) -> Fraction:
    """A time in hours, exact. InvalidQuantity if it is no time."""
    return Fraction(time.magnitude_in("hour"))


def moment_after(start: datetime, hours: Fraction, *, round_up: bool = False) -> datetime | None:
    """The full second `hours` after `start`: the one before, or with `round_up` the one after.

    None where the calendar ends before that.
    """
    seconds = hours * 3600 + Fraction(start.microsecond, 1_000_000)
    whole = -(-seconds // 1) if round_up else seconds // 1
    try:
        return start.replace(microsecond=0) + timedelta(seconds=int(whole))
    except OverflowError:
        return None


def clock_text(moment: datetime) -> str:
    """A moment in words, in the offset it was given in: 2026-05-12 14:00 UTC+01:00."""
    seconds = f":{moment:%S}" if moment.second else ""
    return f"{moment:%Y-%m-%d %H:%M}{seconds} {moment:%Z}"
