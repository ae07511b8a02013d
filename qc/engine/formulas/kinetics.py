"""Cure kinetics: how far a logged temperature has brought a cure, and when it is complete.

Temperatures are in degC, times in hours, both exact fractions. Exponentials and logarithms are
decimal ones of 28 digits, which come out the same on any machine.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from itertools import accumulate, pairwise

ABSOLUTE_ZERO = Fraction("-273.15")

Rows = Sequence[tuple[Fraction, Fraction]]
"""Rows (temperature, time) of a data sheet, by rising temperature."""

_CONTEXT = Context(prec=28)


@dataclass(frozen=True)
class Interval:
    """The time between two readings, and the temperatures read at its ends."""

    hours: Fraction
    first: Fraction
    last: Fraction

    @property
    def mean(self) -> Fraction:
        """The mean temperature of the interval, as ASTM C1074 takes it."""
        return (self.first + self.last) / 2

    @property
    def colder(self) -> Fraction:
        """The lower of the two temperatures."""
        return min(self.first, self.last)


Rate = Callable[[Interval], Fraction]
"""Progress an hour within an interval."""


def degree_hours(celsius: Fraction, datum: Fraction) -> Fraction:
    """Maturity gained in an hour (Nurse-Saul, ASTM C1074): nothing below the datum."""
    return max(celsius - datum, Fraction(0))


def age_factor(celsius: Fraction, activation: Fraction, reference: Fraction) -> Fraction:
    """Hours at `reference` that an hour at `celsius` is worth.

    Freiesleben Hansen and Pedersen (ASTM C1074, second function):
    exp(-Q (1/T - 1/Ts)), kelvin, `activation` Q = E/R in kelvin.
    """
    if celsius == reference:
        return Fraction(1)
    inverse = 1 / (celsius - ABSOLUTE_ZERO) - 1 / (reference - ABSOLUTE_ZERO)
    return Fraction(_CONTEXT.exp(_decimal(-activation * inverse)))


def colder_row(rows: Rows, celsius: Fraction) -> Fraction | None:
    """The time of the nearest row not hotter than `celsius`; None where all rows are hotter."""
    return next((hours for at, hours in reversed(rows) if at <= celsius), None)


def hotter_row(rows: Rows, celsius: Fraction) -> Fraction | None:
    """The time of the nearest row not colder than `celsius`; None where all rows are colder."""
    return next((hours for at, hours in rows if at >= celsius), None)


def log_time(rows: Rows, celsius: Fraction) -> Fraction | None:
    """The time at `celsius`, its logarithm linear in temperature between two rows.

    None below the coldest row; above the hottest its time stands, for nothing is extrapolated.
    """
    return _interpolated(rows, celsius, lambda at: at)


def arrhenius_time(rows: Rows, celsius: Fraction) -> Fraction | None:
    """As `log_time`, the logarithm linear in 1/T (kelvin)."""
    return _interpolated(rows, celsius, lambda at: 1 / (at - ABSOLUTE_ZERO))


def _interpolated(
    rows: Rows, celsius: Fraction, scale: Callable[[Fraction], Fraction]
) -> Fraction | None:
    exact = colder_row(rows, celsius)
    for (cold, longer), (hot, shorter) in pairwise(rows):
        if cold < celsius < hot and longer != shorter:
            share = (scale(celsius) - scale(cold)) / (scale(hot) - scale(cold))
            return longer * Fraction(_CONTEXT.exp(_decimal(share * _ln(shorter / longer))))
    return exact


def course(rate: Rate, intervals: Sequence[Interval]) -> tuple[Fraction, ...]:
    """Progress at each reading: 0 at the first, then the running sum of rate times duration."""
    gains = (rate(part) * part.hours for part in intervals)
    return tuple(accumulate(gains, initial=Fraction(0)))


def hours_until(
    target: Fraction, progress: Sequence[Fraction], intervals: Sequence[Interval]
) -> Fraction | None:
    """Hours from the first reading to the moment `progress` (a `course`) reaches `target`.

    Above 0; within an interval progress is even. None if it is never reached.
    """
    hours = Fraction(0)
    for part, (before, after) in zip(intervals, pairwise(progress), strict=True):
        if after >= target:
            return hours + part.hours * (target - before) / (after - before)
        hours += part.hours
    return None


def degree_of_cure(total: Fraction, residual: Fraction) -> Fraction:
    """The share of the reaction that has run: 1 - residual / total heat (ISO 11357-5)."""
    return 1 - residual / total


def _ln(value: Fraction) -> Fraction:
    return Fraction(_CONTEXT.ln(_decimal(value)))


def _decimal(value: Fraction) -> Decimal:
    return _CONTEXT.divide(Decimal(value.numerator), Decimal(value.denominator))
