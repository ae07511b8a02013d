"""Template tags that draw: the rail of steps, the unrolled pipe, the margin, proposed places.

Places are worked out here and in `geometry`, the SVG is written in the templates. A picture
always says the same in words.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from django import template
from django.utils.safestring import SafeString

from . import marks
from .geometry import Plot, ask, number
from .margin_geometry import margin_picture
from .parts import printed
from .surface_geometry import surface_picture

register = template.Library()

# Across the rail: from mark to mark, a mark with its margin, a gate from its middle.
_PITCH = 52
_MARK = 12
_HERE = 15
_OPEN_GATE = 6.0
_CLOSED_GATE = 2.5


@register.simple_tag
def mark_at(kind: str, x: float, y: float, scale: float) -> SafeString:
    """A mark at a place inside a picture."""
    return marks.mark_at(kind, x, y, scale)


def _kinds(items: Iterable[Mapping[str, Any]]) -> list[str]:
    """The outcomes that occur, best first, for the legend."""
    found = {item["outcome"] for item in items}
    return [kind for kind in marks.OUTCOME_WORDS if kind in found]


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
        middle = float(_PITCH * (index + 1))
        start, end = middle - _PITCH / 2 + _MARK, middle + _PITCH / 2 - _MARK
        is_last = index == len(gates) - 1
        if is_last:
            end = middle + _CLOSED_GATE
        if gate == "open":
            lines.append((start, middle - _OPEN_GATE))
            start = middle + _OPEN_GATE
        if not is_last or gate == "closed":
            lines.append((start, end))
    return lines


def _gates(gates: Sequence[str]) -> list[dict[str, Any]]:
    """The two posts of each gate, apart where it is open."""
    posts = {"open": _OPEN_GATE, "closed": _CLOSED_GATE}
    return [
        {
            "state": gate,
            "left": _PITCH * (index + 1) - posts[gate],
            "right": _PITCH * (index + 1) + posts[gate],
        }
        for index, gate in enumerate(gates)
        if gate
    ]


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
                "x": _PITCH * index + _PITCH // 2,
                "left": _PITCH * index + _PITCH // 2 - _HERE,
                "state": ask(step, "state"),
                "current": ask(step, "current"),
            }
            for index, step in enumerate(drawn)
        ],
        "lines": _rail_lines(gates),
        "gates": _gates(gates),
        "width": _PITCH * len(drawn) + 10,
        "description": "; ".join(_step_in_words(step) for step in drawn),
        "here": next((step for step in drawn if ask(step, "current")), None),
        "count": len(drawn),
        "open_holds": gates.count("open"),
    }


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
    sign = printed(unit)
    return {
        **margin_picture(points),
        "unit": sign,
        "kinds": _kinds(points),
        "description": _margin_in_words(points, sign),
    }


@register.inclusion_tag("qc/parts/surface.html")
def surface(picture: Mapping[str, Any]) -> dict[str, Any]:
    """The places proposed on a pipe unrolled, or on a flat surface.

    `picture` holds `length` and `breadth` (figures in `unit`; of a pipe its girth), `unit`,
    `is_pipe` and `places` (each `number`, `along`, `across`). A table has to give each in words.
    """
    drawn, unit = surface_picture(picture), printed(picture["unit"])
    length, count = f"{number(picture['length'])} {unit}", len(picture["places"])
    kind = (
        f"Pipe unrolled over {length}, cut along 12 o'clock, its start on the left"
        if picture["is_pipe"]
        else f"Surface of {length} by {number(picture['breadth'])} {unit}, its start lower left"
    )
    caption = kind if drawn["frame"].to_scale else f"{kind}; not to scale"
    places = f"{count} place{'s' if count > 1 else ''} marked, as numbered in the table."
    return {**drawn, "unit": unit, "caption": f"{caption}.", "description": f"{caption}. {places}"}
