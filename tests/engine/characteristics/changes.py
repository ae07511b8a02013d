"""How a case in the case format is changed: its values made worse, its limits stricter, its units
others."""

import re
from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from qc.engine.quantities import InvalidQuantity, Quantity, dimension_of, units_of
from tests.engine.characteristics.sound import Way

_NUMBER = re.compile(r"-?\d+(\.\d+)?")
_FAMILIES = ({"um", "mm", "cm", "m"}, {"mil", "in", "ft"}, {"mm2", "cm2", "m2"}, {"ft2"})
"""Rules have round figures of their own for each system, so a unit is changed within its own."""

_DIGITS = 15
SHARES = st.decimals("0", "0.5", places=2)
LITTLE = st.decimals("0", "0.15", places=2)
"""By how much of itself, about, a value is changed."""


def moved(value: Any, way: Way, share: Decimal) -> Any:
    """`value` (a quantity, number, moment, grade, answer, list or table) moved `way` by `share`."""
    if isinstance(value, list):
        return [moved(each, way, share) for each in value]
    if isinstance(value, Mapping):
        return {at: moved(time, way, share) for at, time in value.items()}
    if isinstance(way, bool):
        return way if share > Decimal("0.25") else value
    if isinstance(way, tuple):
        at = way.index(value) + int(share * 8)
        return way[min(at, len(way) - 1)]
    return _moved(value, way * share)


def _moved(value: Any, share: Decimal) -> Any:
    if isinstance(value, int):
        return max(value + int(share * 10), 0)
    if not _NUMBER.match(value):
        raise ValueError(value)
    number, _, unit = value.partition(" ")
    if "T" in number:
        moment = datetime.fromisoformat(value) + timedelta(minutes=int(share * 120))
        return moment.isoformat()
    changed = Decimal(number) + share * abs(Decimal(number))
    return f"{changed:f} {unit}".strip()


def quantities_in(part: Any, but: str = "") -> Iterator[str]:
    """Every quantity written in a part of a case, those under the name `but` left out."""
    if isinstance(part, Mapping):
        for name, value in part.items():
            yield from quantities_in(name)
            if name != but:
                yield from quantities_in(value, but)
    elif isinstance(part, list | tuple):
        for each in part:
            yield from quantities_in(each, but)
    elif isinstance(part, str) and len(other_units(part)) > 1:
        yield part


def written_anew(part: Any, texts: Mapping[str, str], but: str = "") -> Any:
    """The part with every quantity that stands in `texts` written as there."""
    if isinstance(part, Mapping):
        return {
            texts.get(name, name): value if name == but else written_anew(value, texts, but)
            for name, value in part.items()
        }
    if isinstance(part, list | tuple):
        return [written_anew(each, texts, but) for each in part]
    return texts.get(part, part) if isinstance(part, str) else part


def other_units(text: str) -> list[str]:
    """A quantity written in every unit of its kind and system in which it comes out even."""
    try:
        quantity = Quantity.parse(text)
    except InvalidQuantity:
        return [text]
    family = next((f for f in _FAMILIES if quantity.unit in f), set(units_of(quantity.dimension)))
    units = [unit for unit in family if dimension_of(unit) is quantity.dimension]
    return [even for unit in sorted(units) if (even := _even(quantity, unit))]


def _even(quantity: Quantity, unit: str) -> str | None:
    exact = Fraction(quantity.magnitude_in(unit))
    text = f"{Decimal(exact.numerator) / Decimal(exact.denominator):f}"
    before, _, behind = text.lstrip("-").partition(".")
    is_even = len(before) <= _DIGITS >= len(behind) and Fraction(text) == exact
    return f"{text} {unit}" if is_even else None
