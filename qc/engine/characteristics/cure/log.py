"""The temperature log of a cure: readings in order of time, and the intervals between them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from itertools import pairwise

from qc.engine.fields import Values
from qc.engine.formulas.elapsed import hours_between
from qc.engine.formulas.kinetics import Interval
from qc.engine.quantities import Quantity

LONGEST_HOURS = 366 * 24
"""A log that spans more than a year is a mistake in a date."""


@dataclass(frozen=True)
class Log:
    """Moments in order and the temperature at each; `problem` says why it cannot be used.

    The order of entry does not matter, for a phone may bring readings late. The same reading sent
    twice counts once.
    """

    moments: tuple[datetime, ...]
    temperatures: tuple[Quantity, ...]
    problem: str | None = None

    @classmethod
    def of(cls, readings: Sequence[Values]) -> "Log":
        """The log of `readings`, each with `at` and `temperature`."""
        by_moment: dict[datetime, Quantity] = {}
        problem = None
        for reading in readings:
            at, temperature = reading.moment("at"), reading.quantity("temperature")
            if at is None or temperature is None:
                continue
            if by_moment.setdefault(at, temperature) != temperature:
                problem = f"two temperatures, {by_moment[at]} and {temperature}, at {at}"
        moments = sorted(by_moment)
        if moments and hours_between(moments[0], moments[-1]) > LONGEST_HOURS:
            problem = f"the log runs from {moments[0]} to {moments[-1]}, more than a year"
        return cls(tuple(moments), tuple(by_moment[at] for at in moments), problem)

    def intervals(self, lowered_by: Fraction) -> list[Interval]:
        """The intervals between readings, temperatures in degC less `lowered_by`."""
        celsius = [Fraction(t.magnitude_in("degC")) - lowered_by for t in self.temperatures]
        return [
            Interval(hours_between(start, end), first, last)
            for (start, end), (first, last) in zip(
                pairwise(self.moments), pairwise(celsius), strict=True
            )
        ]
