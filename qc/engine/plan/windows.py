"""Time windows between steps: begun no sooner and no later than so long after an earlier step.

The earlier step counts from the last moment observed on it, the later one from the first.
Both bounds belong to the window: on them it conforms.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Any, Self

from qc.engine.fields import Field, InvalidValue, Kind, parse_fields
from qc.engine.formulas.elapsed import elapsed, hours_between, hours_of, moment_after
from qc.engine.quantities import Dimension, Quantity, decimal_text


class Fault(StrEnum):
    """How a window can be broken."""

    REVERSED = "reversed"
    EARLY = "early"
    LATE = "late"


def _bound(name: str, label: str) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TIME,
        unit="hour",
        us_unit="hour",
        minimum=Decimal(0),
    )


WINDOW_FIELDS = (
    Field(name="after", label="After", kind=Kind.TEXT, required=True),
    _bound("least", "No sooner than"),
    _bound("most", "No later than"),
    Field(name="source", label="Source", kind=Kind.TEXT, required=True),
)
"""What a window consists of: the key of the earlier step, its bounds, where they come from."""


@dataclass(frozen=True, kw_only=True)
class Window:
    """The time allowed between the step `after` and a later one. `source` says who asks for it."""

    after: str
    least: Quantity | None
    most: Quantity | None
    source: str

    @classmethod
    def parse(cls, raw: Mapping[str, Any], path: str) -> Self:
        """A window as a plan keeps it. InvalidValue names the part that makes no sense."""
        values = parse_fields(WINDOW_FIELDS, raw, path)
        least, most = values.get("least"), values.get("most")
        if least is None and most is None:
            raise InvalidValue(f"{path}.least", "a window states its least time, its most, or both")
        if least is not None and most is not None and least > most:
            problem = f"{least.printed} is above the latest, {most.printed}"
            raise InvalidValue(f"{path}.least", problem)
        return cls(after=values.get("after"), least=least, most=most, source=values.get("source"))

    def opens_at(self, done: datetime) -> datetime | None:
        """The first full second at which the later step may begin; None where it may at once."""
        return moment_after(done, hours_of(self.least), round_up=True) if self.least else None

    def closes_at(self, done: datetime) -> datetime | None:
        """The last full second at which it may; None where the window stays open."""
        return moment_after(done, hours_of(self.most)) if self.most else None

    def fault(self, done: datetime, begun: datetime) -> Fault | None:
        """How work begun at `begun` breaks the window since `done`; None where it conforms."""
        if begun < done:
            return Fault.REVERSED
        took = elapsed(done, begun)
        if self.least is not None and took < self.least:
            return Fault.EARLY
        if self.most is not None and took > self.most:
            return Fault.LATE
        return None

    @property
    def asked(self) -> str:
        """The bounds in words: "at least 1 h and at most 4 h"."""
        least = f"at least {self.least.printed}" if self.least is not None else ""
        most = f"at most {self.most.printed}" if self.most is not None else ""
        return " and ".join(part for part in (least, most) if part)


def time_between(start: datetime, end: datetime) -> str:
    """The time from one moment to a later one in words, exact: "2 h 10 min", "4 h 1 s"."""
    left = abs(hours_between(start, end)) * 3600
    hours = left // 3600
    minutes = (left - hours * 3600) // 60
    seconds = left - hours * 3600 - minutes * 60
    parts = [(Fraction(hours), "h"), (Fraction(minutes), "min"), (seconds, "s")]
    said = [f"{decimal_text(number)} {unit}" for number, unit in parts if number]
    return " ".join(said) or "0 min"
