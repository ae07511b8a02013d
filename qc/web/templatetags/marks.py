"""The marks of the record: one shape and one word for each outcome and each state.

A mark is drawn round the origin and fits a circle of radius 22, so that badges and pictures
share it. Shapes differ without their colour: a print in grey still tells them apart.
"""

from __future__ import annotations

from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

OUTCOME_WORDS = {
    "conforms": "Conforms",
    "does_not_conform": "Does not conform",
    "incomplete": "Incomplete",
    "cannot_be_judged": "Cannot be judged",
}
STATE_WORDS = {
    "not_started": "Not started",
    "in_hand": "In hand",
    "held": "Held",
    "open": "Open",
    "closed": "Closed",
    "conceded": "Accepted by concession",
}
WORDS = OUTCOME_WORDS | STATE_WORDS

_RING = '<circle class="ground" r="19"/>'
_BUFFER_STOPS = '<path class="free" d="M-22 0H-7M7 0H22M-7-17V17M7-17V17"/>'
_SHAPES = {
    "conforms": _RING + '<path class="free" d="M-9 .5L-2.5 8 9.5-7.5"/>',
    "does_not_conform": (
        '<path class="ground" d="M-8.3-20H8.3L20-8.3V8.3L8.3 20H-8.3L-20 8.3V-8.3Z"/>'
        '<path class="free" d="M-8-8L8 8M8-8L-8 8"/>'
    ),
    "incomplete": _RING + '<path class="solid" d="M0-19A19 19 0 0 0 0 19Z"/>',
    "cannot_be_judged": (
        '<path class="ground" d="M0-22L22 0 0 22-22 0Z"/>'
        '<path class="free" d="M-5.5-4.5A5.5 5.5 0 1 1 2.5.5C.6 1.6 0 2.6 0 4.6"/>'
        '<circle class="solid" cy="10.6" r="2.7"/>'
    ),
    "not_started": '<circle class="ground" r="17" stroke-dasharray="5.5 5.2"/>',
    "in_hand": _RING + '<circle class="solid" r="8.5"/>',
    "held": _BUFFER_STOPS,
    "open": _BUFFER_STOPS,
    "closed": '<path class="free" d="M-22 0H22M-7-17V17M7-17V17"/>',
    "conceded": (
        '<path class="ground" d="M-8.3-20H8.3L20-8.3V8.3L8.3 20H-8.3L-20 8.3V-8.3Z"/>'
        '<path class="free" d="M-9 .5L-2.5 8 9.5-7.5"/>'
    ),
}


def shape(kind: str) -> SafeString:
    """SVG shapes of a mark, centred on the origin; an unknown kind raises ValueError."""
    if kind not in _SHAPES:
        raise ValueError(f"mark: {kind!r} is not one of {', '.join(_SHAPES)}")
    return mark_safe(_SHAPES[kind])


def mark(kind: str) -> SafeString:
    """A mark on its own, hidden from assistive technology: its word always stands beside it."""
    return format_html(
        '<svg class="mark {}" viewBox="-24 -24 48 48" aria-hidden="true" focusable="false">'
        "{}</svg>",
        kind,
        shape(kind),
    )


def mark_at(kind: str, x: float, y: float, scale: float) -> SafeString:
    """A mark inside a picture, at (x, y) in the picture's own units."""
    return format_html(
        '<g class="mark-at {}" transform="translate({} {}) scale({})">{}</g>',
        kind,
        f"{x:.1f}",
        f"{y:.1f}",
        f"{scale:.2f}",
        shape(kind),
    )


def stamp(kind: str, word: str = "") -> SafeString:
    """Mark and word together; `word` replaces the usual word of that kind."""
    return format_html(
        '<span class="stamp {}">{}<span>{}</span></span>', kind, mark(kind), word or WORDS[kind]
    )
