"""Where proposed places stand in the picture of their surface, drawn to scale where it fits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from .geometry import Plot, number

_MIDDLE = 201.0
_TOP = 18.0
_WIDEST, _HIGHEST, _NARROWEST = 290.0, 330.0, 96.0
_ROOM_BELOW = 32
_DISC = 9.0
_MOST_NUMBERED = 40


@dataclass(frozen=True)
class Frame:
    """The sides of the drawn surface, and whether they are in proportion to the real ones."""

    width: float
    height: float
    to_scale: bool

    @classmethod
    def of(cls, length: Decimal, breadth: Decimal) -> Frame:
        """As large as there is room for; a side too narrow to draw in is widened."""
        scale = min(_WIDEST / float(length), _HIGHEST / float(breadth))
        width, height = float(length) * scale, float(breadth) * scale
        return cls(
            width=round(max(width, _NARROWEST), 1),
            height=round(max(height, _NARROWEST), 1),
            to_scale=min(width, height) >= _NARROWEST,
        )


def surface_picture(picture: Mapping[str, Any]) -> dict[str, Any]:
    """Frame, grid lines, ticks and places; a pipe is unrolled, its top at the upper edge."""
    length, breadth = number(picture["length"]), number(picture["breadth"])
    frame = Frame.of(length, breadth)
    plot = Plot(
        left=_MIDDLE - frame.width / 2,
        right=_MIDDLE + frame.width / 2,
        top=_TOP,
        bottom=_TOP + frame.height,
        x_max=length,
        y_low=breadth if picture["is_pipe"] else Decimal(0),
        y_high=Decimal(0) if picture["is_pipe"] else breadth,
    )
    places = [_place(place, plot) for place in picture["places"]]
    return {
        "frame": frame,
        "plot": plot,
        "height": plot.bottom + _ROOM_BELOW,
        "ticks_y": plot.bottom + 20,
        "rows": _clock(plot, breadth) if picture["is_pipe"] else _sides(plot, breadth),
        "ticks": [
            {"x": plot.x(at), "label": f"{at.normalize():f}", "anchor": anchor}
            for at, anchor in ((Decimal(0), "start"), (length, "end"))
        ],
        "places": places,
        "disc": _DISC,
        "numbered": len(places) <= _MOST_NUMBERED,
    }


def _place(place: Mapping[str, Any], plot: Plot) -> dict[str, Any]:
    x, y = plot.x(number(place["along"])), plot.y(number(place["across"]))
    return {"number": place["number"], "x": x, "y": y, "text_y": y + 4}


def _clock(plot: Plot, breadth: Decimal) -> list[dict[str, Any]]:
    """A line at every third hour; the top is both edges, where the pipe is cut open."""
    labels = enumerate(("12 h", "3 h", "6 h", "9 h", "12 h"))
    return [_row(plot, breadth * quarter / 4, label) for quarter, label in labels]


def _sides(plot: Plot, breadth: Decimal) -> list[dict[str, Any]]:
    """The lower edge, from which the distance across is measured, and the upper."""
    return [_row(plot, at, f"{at.normalize():f}") for at in (breadth, Decimal(0))]


def _row(plot: Plot, at: Decimal, label: str) -> dict[str, Any]:
    y = plot.y(at)
    return {"y": y, "text_y": y + 4.5, "label": label, "label_x": plot.left - 8}
