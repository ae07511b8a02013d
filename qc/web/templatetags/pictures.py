"""Template tags that draw: the rail of steps, the unrolled pipe, the margin through the shift.

Places are worked out here and in `geometry`, the SVG is written in the templates. A picture
always says the same in words.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Any

from django import template
from django.utils.safestring import SafeString

from . import marks
from .geometry import Plot, ask, number
from .parts import printed

register = template.Library()

_PITCH = 48
_MANY_POINTS = 6
_MARGIN_INSET = 16
_MARGIN_FRAME = 48


@register.simple_tag
def mark_at(kind: str, x: float, y: float, scale: float) -> SafeString:
    """A mark at a place inside a picture."""
    return marks.mark_at(kind, x, y, scale)


def _kinds(items: Iterable[Mapping[str, Any]]) -> list[str]:
    """The outcomes that occur, best first, for the legend."""
    found = {item["outcome"] for item in items}
    return [kind for kind in marks.OUTCOME_WORDS if kind in found]


# The rail


def _gate_after(step: object) -> str:
    """Says "open" or "closed" where a hold point follows the step, else nothing."""
    holds = [point for point in ask(step, "points") or () if ask(point, "kind") == "hold"]
    if not holds:
        return ""
    return "open" if any(ask(hold, "open") for hold in holds) else "closed"


def _step_in_words(step: object) -> str:
    words = f"{ask(step, 'number')} {ask(step, 'title')}: {marks.WORDS[ask(step, 'state')]}"
    gate = _gate_after(step)
    words += f", hold point {gate}" if gate else ""
    return words + (", you are here" if ask(step, "current") else "")


def _rail_lines(gates: Sequence[str]) -> list[tuple[float, float]]:
    """Stretches of line between the marks; an open gate leaves its gap free."""
    lines: list[tuple[float, float]] = []
    for index, gate in enumerate(gates):
        start, middle = _PITCH * index + 36, _PITCH * (index + 1)
        is_last = index == len(gates) - 1
        if gate == "open":
            lines.append((start, middle - 6))
            if not is_last:
                lines.append((middle + 6, middle + 12))
        elif not is_last:
            lines.append((start, middle + 12))
        elif gate:
            lines.append((start, middle + 2))
    return lines


@register.inclusion_tag("qc/parts/rail.html")
def rail(steps: Iterable[object]) -> dict[str, Any]:
    """Where the repair stands, drawn as a rail: a mark a step, a gap at each open hold point.

    A step gives `number`, `title`, `state` (an outcome, not_started, in_hand or held),
    `current`, and `points` (each `kind`, `party`, `open`).
    """
    drawn = list(steps)
    gates = [_gate_after(step) for step in drawn]
    return {
        "places": [
            {
                "x": _PITCH * index + 24,
                "left": _PITCH * index + 9,
                "state": ask(step, "state"),
                "current": ask(step, "current"),
            }
            for index, step in enumerate(drawn)
        ],
        "lines": _rail_lines(gates),
        "gates": [
            {
                "state": gate,
                "left": _PITCH * (index + 1) - (6 if gate == "open" else 2.5),
                "right": _PITCH * (index + 1) + (6 if gate == "open" else 2.5),
            }
            for index, gate in enumerate(gates)
            if gate
        ],
        "width": _PITCH * len(drawn) + 10,
        "description": "; ".join(_step_in_words(step) for step in drawn),
        "here": next((step for step in drawn if ask(step, "current")), None),
        "count": len(drawn),
        "open_holds": gates.count("open"),
    }


# The unrolled pipe


def _pipe_in_words(picture: Mapping[str, Any], unit: str) -> list[str]:
    sentences = [f"Pipe unrolled over {number(picture['length'])} {unit}, 12 o'clock at the top."]
    if leak := picture.get("leak"):
        end = number(leak["x"]) + number(leak["length"])
        sentences.append(
            f"Leak outlined from {number(leak['x'])} to {end} {unit}, at {leak['clock']} o'clock."
        )
    if readings := picture.get("readings"):
        kinds = [reading["outcome"] for reading in readings]
        counts = (f"{kinds.count(kind)} {marks.WORDS[kind].lower()}" for kind in _kinds(readings))
        sentences.append(f"Readings: {', '.join(counts)}.")
    if following := picture.get("next"):
        sentences.append(f"Next at {number(following['x'])} {unit}, {following['clock']} o'clock.")
    return sentences


def _pipe_axes(plot: Plot) -> dict[str, Any]:
    """The clock positions down and the length across."""
    clock = [(12, 0), (3, 3), (6, 6), (9, 9), (12, 12)]
    ticks = [
        (Decimal(0), "start"),
        (plot.x_max / 2, "middle"),
        (plot.x_max, "end"),
    ]
    return {
        "hours": [
            {"label": label, "y": plot.y(Decimal(hour)), "text_y": plot.y(Decimal(hour)) + 4.5}
            for label, hour in clock
        ],
        "ticks": [
            {"x": plot.x(at), "label": f"{at.normalize():f}", "anchor": anchor}
            for at, anchor in ticks
        ],
        "plot": plot,
        "plot_width": plot.right - plot.left,
        "plot_height": plot.bottom - plot.top,
    }


@register.inclusion_tag("qc/parts/pipe.html")
def pipe(picture: Mapping[str, Any]) -> dict[str, Any]:
    """The pipe unrolled: length across, clock position down, readings where they were taken.

    `picture` holds `length` (a figure in `unit`, usually mm) and where known `leak` and `extent`
    (each `x`, `length`, `clock` of its middle, `hours` of its height), `readings` (each `x`,
    `clock`, `outcome`, `label`) and `next` (`x`, `clock`). Clock positions read "6" or "6:30".
    """
    unit = printed(picture.get("unit", "mm"))
    plot = Plot(
        left=46,
        right=346,
        top=16,
        bottom=192,
        x_max=number(picture["length"]),
        y_low=Decimal(12),
        y_high=Decimal(0),
    )
    readings = picture.get("readings") or ()
    areas = {
        name: plot.outline(picture[name]) if picture.get(name) else []
        for name in ("leak", "extent")
    }
    return {
        **_pipe_axes(plot),
        **areas,
        "unit": unit,
        "readings": [{**reading, **plot.on_the_pipe(reading)} for reading in readings],
        "next": plot.on_the_pipe(picture["next"]) if picture.get("next") else None,
        "kinds": _kinds(readings),
        "sentences": _pipe_in_words(picture, unit),
    }


# The margin through the shift


def _margin_plot(points: Sequence[Mapping[str, Any]]) -> Plot:
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


def _margin_places(points: Sequence[Mapping[str, Any]], plot: Plot) -> list[dict[str, Any]]:
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
    through = [(_MARGIN_FRAME, places[0]["limit_y"])]
    through += [(place["x"], place["limit_y"]) for place in places]
    through.append((plot.right + _MARGIN_INSET, places[-1]["limit_y"]))
    line = "M" + "L".join(f"{x} {y}" for x, y in through)
    return {
        "limit_line": line,
        "under_limit": f"{line}V{plot.bottom}H{_MARGIN_FRAME}Z",
    }


def _margin_grid(plot: Plot) -> list[dict[str, Any]]:
    """Whole figures up the side, at a step that leaves each room to be read."""
    step = max(1, round(float(plot.y_high - plot.y_low) / 5))
    first = -(-int(plot.y_low) // step) * step
    marks_up = range(first, int(plot.y_high) + 1, step)
    return [
        {"label": value, "y": plot.y(Decimal(value)), "text_y": plot.y(Decimal(value)) + 4.5}
        for value in marks_up
    ]


def _margin_in_words(points: Sequence[Mapping[str, Any]], unit: str) -> str:
    readings = (
        f"{point['label']}: "
        + ("not known" if point.get("margin") is None else f"{number(point['margin'])} {unit}")
        + f", limit {number(point['limit'])} {unit}, {marks.WORDS[point['outcome']].lower()}"
        for point in points
    )
    return f"Steel above the dew point through the shift. {'; '.join(readings)}."


@register.inclusion_tag("qc/parts/margin.html")
def margin(points: Sequence[Mapping[str, Any]], unit: str = "delta_degC") -> dict[str, Any]:
    """Steel temperature above the dew point through the shift, against its limit.

    A point gives `label` (the time), `margin` and `limit` (figures in `unit`; `margin` is None
    where it could not be judged) and `outcome`. Points stand at equal steps, in their order.
    """
    if not points:
        return {"points": []}
    plot, sign = _margin_plot(points), printed(unit)
    places = _margin_places(points, plot)
    known = [place for place in places if place.get("margin") is not None]
    return {
        **_limit_paths(places, plot),
        "points": places,
        "plot": plot,
        "frame_left": _MARGIN_FRAME,
        "frame_right": plot.right + _MARGIN_INSET,
        "grid": _margin_grid(plot),
        "course": list(pairwise(known)),
        "unit": sign,
        "limit": str(number(points[-1]["limit"])),
        "limit_text_y": places[-1]["limit_y"] + 15,
        "least": min(known, key=lambda place: number(place["margin"]), default=None),
        "kinds": _kinds(points),
        "description": _margin_in_words(points, sign),
    }
