"""Where things stand in the picture of the dew-point margin through the shift."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Any

from .geometry import Plot, number

_MANY_POINTS = 6
_FRAME_LEFT = 48.0
_INSET = 16


def _plot(points: Sequence[Mapping[str, Any]]) -> Plot:
    values = [number(point["limit"]) for point in points]
    values += [number(p["margin"]) for p in points if p.get("margin") is not None]
    low, high = min(Decimal(0), *values), max(Decimal(0), *values)
    room = max((high - low) / 5, Decimal("0.5"))
    return Plot(
        left=64,
        right=330,
        top=14,
        bottom=178,
        x_max=Decimal(max(len(points) - 1, 1)),
        y_low=low - room if low < 0 else low,
        y_high=high + room,
    )


def _named(points: Sequence[Mapping[str, Any]]) -> set[int]:
    """Which points carry their figure: all of a few, else the least, the last and the failing."""
    known = [index for index, point in enumerate(points) if point.get("margin") is not None]
    if len(points) <= _MANY_POINTS or not known:
        return set(known)
    least = min(known, key=lambda index: number(points[index]["margin"]))
    failing = {index for index in known if points[index]["outcome"] == "does_not_conform"}
    return {least, known[-1]} | failing


def _anchor(index: int, count: int) -> str:
    if index == 0 and count > 1:
        return "start"
    return "end" if index == count - 1 and count > 1 else "middle"


def _places(points: Sequence[Mapping[str, Any]], plot: Plot) -> list[dict[str, Any]]:
    named, count = _named(points), len(points)
    places = []
    for index, point in enumerate(points):
        y = plot.y(number(0 if point.get("margin") is None else point["margin"]))
        limit_y = plot.y(number(point["limit"]))
        places.append(
            {
                **point,
                "x": plot.x(Decimal(index)),
                "y": y,
                "text_y": y + (21 if y > limit_y else -12),
                "limit_y": limit_y,
                "named": index in named,
                "dated": index in {0, count // 2, count - 1},
                "anchor": _anchor(index, count),
            }
        )
    return places


def _limit_paths(places: Sequence[Mapping[str, Any]], plot: Plot) -> dict[str, str]:
    """The limit as a line and the ground under it as an area, across the entire plot."""
    through = [(_FRAME_LEFT, places[0]["limit_y"])]
    through += [(place["x"], place["limit_y"]) for place in places]
    through.append((plot.right + _INSET, places[-1]["limit_y"]))
    line = "M" + "L".join(f"{x} {y}" for x, y in through)
    return {
        "limit_line": line,
        "under_limit": f"{line}V{plot.bottom}H{_FRAME_LEFT}Z",
    }


def _grid(plot: Plot) -> list[dict[str, Any]]:
    """Whole figures up the side, at a step that leaves each room to be read."""
    step = max(1, round(float(plot.y_high - plot.y_low) / 5))
    first = -(-int(plot.y_low) // step) * step
    marks_up = range(first, int(plot.y_high) + 1, step)
    return [
        {"label": value, "y": plot.y(Decimal(value)), "text_y": plot.y(Decimal(value)) + 4.5}
        for value in marks_up
    ]


def margin_picture(points: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Places of the points, the course between them, the limit and the grid."""
    plot = _plot(points)
    places = _places(points, plot)
    known = [place for place in places if place.get("margin") is not None]
    return {
        **_limit_paths(places, plot),
        "points": places,
        "plot": plot,
        "frame_left": _FRAME_LEFT,
        "frame_right": plot.right + _INSET,
        "grid": _grid(plot),
        "course": list(pairwise(known)),
        "limit": str(number(points[-1]["limit"])),
        "limit_text_y": places[-1]["limit_y"] + 15,
        "least": min(known, key=lambda place: number(place["margin"]), default=None),
    }
