"""Template tags that draw the parts of a page. They present; they never judge."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django import template
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from qc.engine.rules.verdict import WORST_FIRST

from . import marks

register = template.Library()

_PRINTED_UNITS = {
    "delta_degC": "°C",
    "delta_degF": "°F",
    "degC": "°C",
    "degF": "°F",
    "um": "µm",
    "mm2": "mm²",
    "cm2": "cm²",
    "m2": "m²",
    "ft2": "ft²",
    "hour": "h",
    "minute": "min",
    "second": "s",
}
_UNIT_AFTER_A_FIGURE = re.compile(rf"(?<=\d) ?({'|'.join(_PRINTED_UNITS)})\b")
_UNIT_ALONE = re.compile(rf"^({'|'.join(_PRINTED_UNITS)})$")
_FIGURE_AND_SIGN = re.compile(r"(?<=\d) (?=[°µ%]|mm\b|mil\b|h\b|min\b|s\b)")


@register.filter
def printed(value: object) -> str:
    """Text with its units as a person writes them: "24.3 degC" becomes "24.3 °C".

    A figure and its unit are joined by a no-break space. Figures are left as they are.
    """
    text = _UNIT_ALONE.sub(lambda found: _PRINTED_UNITS[found[1]], str(value))
    text = _UNIT_AFTER_A_FIGURE.sub(lambda found: f" {_PRINTED_UNITS[found[1]]}", text)
    return _FIGURE_AND_SIGN.sub("\N{NO-BREAK SPACE}", text)


@register.filter
def digest(value: object, length: int | None = None) -> SafeString:
    """A digest in groups of four that copies as one word; `length` keeps that many signs."""
    text = str(value)[:length]
    groups = ((text[start : start + 4],) for start in range(0, len(text), 4))
    return format_html(
        '<span class="digest">{}</span>', format_html_join("", "<span>{}</span>", groups)
    )


@register.filter
def word(kind: str) -> str:
    """The word of an outcome or state."""
    return marks.WORDS[kind]


@register.simple_tag
def mark(kind: str) -> SafeString:
    """The bare mark of an outcome or state, for use beside its word."""
    return marks.mark(kind)


@register.simple_tag
def outcome(kind: str) -> SafeString:
    """Word, shape and colour of one of the four outcomes, in a line of text."""
    if kind not in marks.OUTCOME_WORDS:
        raise ValueError(f"outcome: {kind!r} is not one of {', '.join(marks.OUTCOME_WORDS)}")
    return marks.stamp(kind)


@register.simple_tag
def stamp(kind: str, word: str = "") -> SafeString:
    """Word, shape and colour of an outcome or state; `word` replaces the usual word."""
    return marks.stamp(kind, word)


@register.inclusion_tag("qc/parts/verdict.html")
def verdict(judged: Mapping[str, Any], heading: str = "") -> dict[str, Any]:
    """The block that says what was found: stamp, findings (worst first), flags, engine."""
    findings = sorted(
        judged.get("findings", ()),
        key=lambda finding: WORST_FIRST.index(finding["outcome"]),
    )
    return {
        "outcome_kind": judged["outcome"],
        "findings": findings,
        "flags": judged.get("flags", ()),
        "engine": judged.get("engine", ""),
        "heading": heading,
    }


@register.inclusion_tag("qc/parts/point.html")
def point(kind: str, party: str, is_open: bool = True, code: str = "") -> dict[str, Any]:
    """An intervention point (hold, witness, review, surveillance) of a party, open or closed.

    `code` is the project's own for this kind, by default its first letter.
    """
    state = "open" if is_open else "closed"
    return {"kind": kind, "party": party, "state": state, "code": code or kind[0].upper()}


@register.inclusion_tag("qc/parts/strip.html")
def strip(readings: Iterable[Mapping[str, Any]], expected: int = 0) -> dict[str, Any]:
    """Readings so far, each with its outcome, and the numbers of those still to come."""
    taken = list(readings)
    return {"readings": taken, "to_come": range(len(taken) + 1, expected + 1)}


@register.inclusion_tag("qc/parts/table.html")
def table(
    caption: str,
    columns: Sequence[Mapping[str, Any]],
    rows: Iterable[Mapping[str, Any]],
    caption_hidden: bool = False,
) -> dict[str, Any]:
    """A table that becomes cards on a phone.

    A column gives `label` and, where wanted, `numeric` or `tight` (kept on one line); a row
    gives `cells` and, where wanted, `state`; a cell gives `text` and, where wanted, `url`,
    `outcome` or `stamp_kind`. The first cell names the row. A row of another length than the
    columns raises ValueError.
    """
    lines = [
        {"state": row.get("state", ""), "cells": list(zip(columns, row["cells"], strict=True))}
        for row in rows
    ]
    return {
        "caption": caption,
        "caption_hidden": caption_hidden,
        "columns": columns,
        "lines": lines,
    }
