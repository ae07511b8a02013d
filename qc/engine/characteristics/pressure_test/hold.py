"""The hold: readings of it in the order of time, how long it was, and how far pressure fell."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from itertools import pairwise

from qc.engine.fields import Values
from qc.engine.formulas.elapsed import elapsed
from qc.engine.formulas.statistics import difference
from qc.engine.quantities import Quantity

HELD = "hold"
"""The phase of a reading that states none."""


@dataclass(frozen=True)
class Point:
    """One reading, numbered as in the record."""

    number: int
    at: datetime
    pressure: Quantity
    reading: Values

    @property
    def phase(self) -> str:
        """Whether the pressure was being raised, held or let down."""
        return self.reading.text("phase", HELD)

    @property
    def name(self) -> str:
        """What the reading is called in a statement."""
        return f"reading {self.number} at {self.at:%H:%M}"


@dataclass(frozen=True)
class Hold:
    """The readings of the hold in the order of time; at least one."""

    points: Sequence[Point]

    @property
    def start(self) -> Point:
        """The first reading."""
        return self.points[0]

    @property
    def end(self) -> Point:
        """The last reading."""
        return self.points[-1]

    @property
    def time(self) -> Quantity:
        """From the first reading to the last, in minutes."""
        return elapsed(self.start.at, self.end.at)

    @property
    def lowest(self) -> Point:
        """The reading of the lowest pressure, the first of equals."""
        return min(self.points, key=lambda point: point.pressure)

    @cached_property
    def drop(self) -> Quantity:
        """The greatest fall from any reading to a later one, so that pumping up hides none."""
        top, fall = self.start.pressure, difference(self.start.pressure, self.start.pressure)
        for point in self.points:
            top = max(top, point.pressure)
            fall = max(fall, difference(top, point.pressure))
        return fall

    @property
    def longest_gap(self) -> tuple[Quantity, Point] | None:
        """The longest time between two readings in minutes, and the reading before it."""
        gaps = [(elapsed(a.at, b.at), a) for a, b in pairwise(self.points)]
        return max(gaps, key=lambda gap: gap[0], default=None)


def points_of(readings: Sequence[Values]) -> list[Point]:
    """All readings in the order of time; their time and pressure are required fields."""
    points = [
        Point(number, at, pressure, reading)
        for number, reading in enumerate(readings, 1)
        if (at := reading.moment("at")) and (pressure := reading.quantity("pressure"))
    ]
    return sorted(points, key=lambda point: point.at)


def hold_of(points: Sequence[Point]) -> Hold | None:
    """The readings taken while the pressure was held, which they are unless stated otherwise."""
    held = [point for point in points if point.phase == HELD]
    return Hold(held) if held else None
