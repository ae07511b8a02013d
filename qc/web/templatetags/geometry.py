"""Where things stand in a picture: floats are places on a page, never figures of the record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

_ROOM_FOR_A_LABEL = 50
_BESIDE_A_MARK = 13


def ask(item: object, name: str, default: Any = None) -> Any:
    """A value of a mapping or an attribute of an object, as templates read them."""
    if isinstance(item, Mapping):
        return item.get(name, default)
    return getattr(item, name, default)


def number(value: object) -> Decimal:
    """The figure of "120", "120 mm" or a number."""
    return Decimal(str(value).split()[0])


def hours(clock: object) -> Decimal:
    """A clock position ("6", "6:30", "12") as hours from the top of the pipe, 0 to under 12."""
    whole, _, minutes = str(clock).partition(":")
    return (Decimal(whole) + Decimal(minutes or 0) / 60) % 12


@dataclass(frozen=True, kw_only=True)
class Plot:
    """A plotting area: edges in the picture's units, and the values the edges stand for.

    `y_low` is the value at the bottom edge, `y_high` the value at the top edge.
    """

    left: float
    right: float
    top: float
    bottom: float
    x_max: Decimal
    y_low: Decimal
    y_high: Decimal

    def x(self, value: Decimal) -> float:
        """Place across; 0 is the left edge, `x_max` the right edge."""
        return round(self.left + (self.right - self.left) * float(value / self.x_max), 1)

    def y(self, value: Decimal) -> float:
        """Place down the page."""
        share = float((value - self.y_low) / (self.y_high - self.y_low))
        return round(self.bottom - (self.bottom - self.top) * share, 1)

    def on_the_pipe(self, item: object) -> dict[str, Any]:
        """Place of something with `x` and `clock`, with its label on the side that has room."""
        x, y = self.x(number(ask(item, "x"))), self.y(hours(ask(item, "clock")))
        left = x > self.right - _ROOM_FOR_A_LABEL
        return {
            "x": x,
            "y": y,
            "label_x": x + (-_BESIDE_A_MARK if left else _BESIDE_A_MARK),
            "label_y": y + 4.5,
            "anchor": "end" if left else "start",
        }

    def outline(self, area: object) -> list[dict[str, float]]:
        """Rectangles of an area given by `x`, `length`, `clock` (its middle), `hours` (height)."""
        left = self.x(number(ask(area, "x")))
        right = self.x(number(ask(area, "x")) + number(ask(area, "length")))
        return [
            {
                "x": left,
                "width": round(right - left, 1),
                "y": self.y(start),
                "height": round(self.y(end) - self.y(start), 1),
            }
            for start, end in spans(hours(ask(area, "clock")), number(ask(area, "hours")))
        ]


def spans(middle: Decimal, height: Decimal) -> list[tuple[Decimal, Decimal]]:
    """Hours covered round a clock position, cut at 12 where the sheet is unrolled."""
    if height >= 12:
        return [(Decimal(0), Decimal(12))]
    start, end = middle - height / 2, middle + height / 2
    if start < 0:
        return [(start + 12, Decimal(12)), (Decimal(0), end)]
    if end > 12:
        return [(start, Decimal(12)), (Decimal(0), end - 12)]
    return [(start, end)]
