"""What a person types for a figure: comma or point, spaces, perhaps a unit. Nothing is guessed."""

import re
from dataclasses import dataclass

from qc.engine.quantities import Dimension, dimension_of, symbol_of, unit_named, units_of

_LONGEST = 20_000
_FIGURE = r"[-+]?(?:\d[\d.,]*|[.,]\d+)"
_UNIT = r"[^\d\s;+-][^\s;]*"
_TOKEN = re.compile(
    rf"\s*(?:(?P<figure>{_FIGURE})\s*(?P<unit>{_UNIT})?|(?P<other>[^\s;]+))\s*[;,]?"
)
_GROUPED = re.compile(r"\d{1,3}(?:([.,\s])\d{3})(?:\1\d{3})*")
_SPACES_IN_A_FIGURE = re.compile(r"(?<=\d) (?=\d{3}(?!\d))")


class Unclear(ValueError):
    """The text is no figure, or can be read as two; the message says what to type."""


@dataclass(frozen=True)
class Typed:
    """A figure in plain digits, and the record's name of the unit typed with it ("" if none)."""

    digits: str
    unit: str = ""


def plain_digits(text: str) -> str:
    """Plain digits with a point for "24,3", "1 234.5" or "1.234,5". Unclear if it can't be told.

    A single comma before three digits asks, since "1,234" is 1.234 to some and 1234 to others.
    """
    sign = "-" if text.startswith("-") else ""
    body = text.lstrip("+-")
    marks = [mark for mark in body if mark in ".,"]
    if not marks:
        return sign + _digits(body, text)
    decimal = marks[-1] if marks.count(marks[-1]) == 1 else ""
    whole, _, part = body.rpartition(decimal) if decimal else (body, "", "")
    if marks == [","] and len(part) == 3 and _could_be_grouped(whole):
        raise Unclear(f"{text} can mean {whole}.{part} or {whole}{part}: type one of these")
    digits = _ungrouped(whole, text) if whole else "0"
    return f"{sign}{digits}.{_digits(part, text)}" if decimal else sign + digits


def _could_be_grouped(whole: str) -> bool:
    return len(whole) <= 3 and not whole.startswith("0") and whole != ""


def _ungrouped(whole: str, text: str) -> str:
    """The digits of a whole number, where marks may part groups of three."""
    if "." in whole or "," in whole:
        if not _GROUPED.fullmatch(whole):
            raise Unclear(f"{text} is not a number such as 12.5")
        whole = re.sub(r"[.,]", "", whole)
    return _digits(whole, text)


def _digits(digits: str, text: str) -> str:
    if not digits.isascii() or not digits.isdigit():
        raise Unclear(f"{text} is not a number such as 12.5")
    return digits


def figures_in(text: str, dimension: Dimension | None, offered: str) -> list[Typed]:
    """The figures of a text, parted by spaces, semicolons or new lines, perhaps with units.

    A unit after the last figure alone holds for all. `offered` is the unit printed beside the
    field. Unclear on anything that is not a figure or a unit of `dimension`.
    """
    found = [_typed(match, dimension, offered) for match in _tokens(text)]
    units = [figure.unit for figure in found]
    if len(found) > 1 and units[-1] and not any(units[:-1]):
        return [Typed(figure.digits, units[-1]) for figure in found]
    if any(units) and not all(units):
        raise Unclear("Give every figure its unit, or none")
    return found


def figure_in(text: str, dimension: Dimension | None, offered: str) -> Typed:
    """The one figure of a text; spaces may part its groups of three digits."""
    found = figures_in(_SPACES_IN_A_FIGURE.sub("", _cleaned(text)), dimension, offered)
    if len(found) != 1:
        raise Unclear(f"{text.strip()[:40]} holds {len(found)} figures: type one")
    return found[0]


def _tokens(text: str) -> list[re.Match[str]]:
    cleaned = _cleaned(text)
    if len(cleaned) > _LONGEST:
        raise Unclear(f"{len(cleaned)} characters are more than {_LONGEST}")
    return list(_TOKEN.finditer(cleaned))


def _cleaned(text: str) -> str:
    """Every kind of space as a space, and every kind of minus as a minus, the first at its digits.

    Unclear where a sign follows a figure directly: "3-4" may be a range or two figures.
    """
    spaced = re.sub(r"\s+", " ", text).strip().replace("\N{MINUS SIGN}", "-")
    cleaned = re.sub(r"^- (?=[\d.,])", "-", spaced.replace("\N{EN DASH}", "-"))
    if unclear := re.search(r"\S*\d[-+]\d\S*", cleaned):
        raise Unclear(f"{unclear[0][:40]} is not a number such as 12.5: part figures by spaces")
    return cleaned


def _typed(match: re.Match[str], dimension: Dimension | None, offered: str) -> Typed:
    if match["figure"] is None:
        raise Unclear(f"{match['other'][:40]} is not a number such as 12.5")
    digits = plain_digits(match["figure"].rstrip(",."))
    return Typed(digits, _unit(match, dimension, offered) if match["unit"] else "")


def _unit(match: re.Match[str], dimension: Dimension | None, offered: str) -> str:
    written = match["unit"].rstrip(",.")
    unit = unit_named(written, dimension)
    if unit is None:
        example = f" or 12.5 {symbol_of(offered)}" if offered else ""
        raise Unclear(f"{match[0].strip()[:40]} is not a number such as 12.5{example}")
    if offered and (dimension is None or dimension_of(unit) is dimension):
        return unit
    allowed = [symbol_of(u) for u in units_of(dimension)] if dimension else []
    choice = f"type {' or '.join(allowed)}" if allowed else "type the number alone"
    raise Unclear(f"{written} is not a unit of this field: {choice}")
