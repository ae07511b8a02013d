"""The readings of an inspection as a table: entered and computed values, one row a reading."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from decimal import Decimal
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Characteristic
from qc.engine.fields import Field, Kind
from qc.engine.quantities import (
    InvalidQuantity,
    Magnitude,
    Quantity,
    decimal_text,
    dimension_of,
    parse_decimal,
    shown,
    symbol_of,
)
from qc.engine.wording.values import unit_beside, value_text

_MOST_PLACES = 15
_LIMIT_IN_WORDS = re.compile(r"(-?\d+(?:\.\d+)?)(?: (\S+))?$")
_FIGURES = (Kind.QUANTITY, Kind.NUMBER, Kind.INTEGER)


@dataclass(frozen=True, kw_only=True)
class Column:
    """A column: `unit` is the printed sign that all its figures share, "" where none does."""

    name: str
    label: str
    unit: str = ""
    numeric: bool = False

    @property
    def heading(self) -> str:
        """The label with the unit."""
        return f"{self.label}, {self.unit}" if self.unit else self.label


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """Columns that carry a value in at least one row, and the rows as printed text."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, kw_only=True)
class _Figures:
    """How computed figures are printed: in the criteria's units, never rounded onto a limit."""

    system: str
    zone: tzinfo
    limits: tuple[Quantity | Decimal, ...]
    criteria_fields: Sequence[Field]
    criteria: Mapping[str, Any]

    def unit_of(self, field: Field) -> str:
        return unit_beside(field, self.criteria_fields, self.criteria, self.system)


def sheet_of(
    characteristic: Characteristic,
    readings: Sequence[Mapping[str, Any]],
    verdict: Mapping[str, Any],
    criteria: Mapping[str, Any],
    *,
    units: str,
    zone: tzinfo,
) -> Sheet:
    """The table of `readings`, with what `verdict` computed for each.

    A verdict judges a whole series, the newest readings last: `readings` are its last ones.
    Entered values keep unit and digits. Computed ones are rounded in the unit of the criteria or of
    the system `units` (or in their own where the field offers it in none, as mm beside µm), never
    so far that they would print as a limit or on its other side, and left out where each was
    entered.
    """
    figures = _figures(characteristic, verdict, criteria, units, zone)
    columns = [
        _entered(field, [r.get(field.name) for r in readings], zone)
        for field in characteristic.reading
    ]
    entered = {column.name for column, cells in columns if all(cells)}
    columns += [
        _computed(field, _last(verdict, field.name, len(readings)), figures)
        for field in characteristic.computed
        if field.per_reading and field.name not in entered
    ]
    kept = [(column, cells) for column, cells in columns if any(cells)]
    return Sheet(
        columns=tuple(column for column, _ in kept),
        rows=tuple(zip(*(cells for _, cells in kept), strict=True)),
    )


def results_of(
    characteristic: Characteristic,
    verdict: Mapping[str, Any],
    criteria: Mapping[str, Any],
    *,
    units: str,
    zone: tzinfo,
) -> tuple[tuple[str, str], ...]:
    """(label, text) of what a verdict computed for the series as a whole."""
    figures = _figures(characteristic, verdict, criteria, units, zone)
    results = []
    for field in characteristic.computed:
        stored = verdict.get("computed", {}).get(field.name)
        if not field.per_reading and stored not in (None, "", []):
            items = stored if isinstance(stored, list) else [stored]
            unit = _printed_unit(field, items, figures)
            text = ", ".join(_computed_text(field, item, unit, figures) for item in items)
            results.append((field.label, f"{text} {symbol_of(unit)}".strip()))
    return tuple(results)


def joined(
    parts: Sequence[tuple[Sequence[Mapping[str, Any]], Mapping[str, Any]]],
) -> tuple[list[Mapping[str, Any]], dict[str, Any]]:
    """Inspections, each its readings and its verdict, as one: for a table of a whole series.

    The readings stand one after the other, each with what its own verdict computed for it.
    """
    readings = [reading for part, _ in parts for reading in part]
    names = {name for _, verdict in parts for name in verdict.get("computed", {})}
    computed = {
        name: [value for part, verdict in parts for value in _last(verdict, name, len(part))]
        for name in names
    }
    findings = [finding for _, verdict in parts for finding in verdict.get("findings", ())]
    return readings, {"computed": computed, "findings": findings}


def _figures(
    characteristic: Characteristic,
    verdict: Mapping[str, Any],
    criteria: Mapping[str, Any],
    units: str,
    zone: tzinfo,
) -> _Figures:
    return _Figures(
        system=units,
        zone=zone,
        limits=_limits(characteristic, criteria, verdict),
        criteria_fields=characteristic.criteria,
        criteria=criteria,
    )


def _entered(field: Field, stored: Sequence[Any], zone: tzinfo) -> tuple[Column, tuple[str, ...]]:
    texts = [value_text(field, value, zone) for value in stored]
    shared = _shared_unit(field, stored)
    sign = symbol_of(shared)
    if sign:
        texts = [text.replace(f" {sign}", "") for text in texts]
    numeric = field.kind in _FIGURES and not field.many
    column = Column(name=field.name, label=field.label, unit=sign, numeric=numeric)
    return column, tuple(texts)


def _shared_unit(field: Field, stored: Sequence[Any]) -> str:
    """The one unit of all values, or "" where there are several or none."""
    if field.kind is not Kind.QUANTITY:
        return ""
    lists = [value if isinstance(value, list) else [value] for value in stored if value]
    found = {Quantity.parse(item, field.dimension).unit for items in lists for item in items}
    return found.pop() if len(found) == 1 else ""


def _last(verdict: Mapping[str, Any], name: str, count: int) -> list[Any]:
    """The newest `count` of what was computed for each reading."""
    values = verdict.get("computed", {}).get(name)
    is_enough = isinstance(values, list) and len(values) >= count > 0
    return list(values[-count:]) if is_enough else [None] * count


def _computed(
    field: Field, stored: Sequence[Any], figures: _Figures
) -> tuple[Column, tuple[str, ...]]:
    unit = _printed_unit(field, stored, figures)
    column = Column(
        name=f"computed_{field.name}",
        label=field.label,
        unit=symbol_of(unit),
        numeric=field.kind in _FIGURES,
    )
    return column, tuple(_computed_text(field, value, unit, figures) for value in stored)


def _printed_unit(field: Field, stored: Iterable[Any], figures: _Figures) -> str:
    """The unit of the criteria or system, or that of the values where the field offers it not."""
    if field.kind is not Kind.QUANTITY:
        return ""
    own = {Quantity.parse(value, field.dimension).unit for value in stored if value is not None}
    if len(own) == 1 and own.isdisjoint((field.unit, field.us_unit)):
        return own.pop()
    return figures.unit_of(field)


def _computed_text(field: Field, stored: Any, unit: str, figures: _Figures) -> str:
    """A computed value rounded for reading, in `unit`."""
    if stored is None:
        return ""
    if field.kind is Kind.QUANTITY:
        value = Quantity.parse(stored, field.dimension).magnitude_in(unit)
        return _rounded(value, field.places, _in_unit(figures.limits, unit))
    if field.kind is Kind.NUMBER:
        limits = [limit for limit in figures.limits if not isinstance(limit, Quantity)]
        return _rounded(parse_decimal(str(stored)), field.places, limits)
    return value_text(field, stored, figures.zone)


def _in_unit(limits: Iterable[Quantity | Decimal], unit: str) -> list[Magnitude]:
    kind = dimension_of(unit)
    return [
        limit.magnitude_in(unit)
        for limit in limits
        if isinstance(limit, Quantity) and limit.dimension is kind
    ]


def _rounded(value: Magnitude, places: int, limits: Sequence[Magnitude]) -> str:
    """`value` to `places`, with more digits while it would print as a limit or beyond it."""
    for digits in range(places, _MOST_PLACES):
        text = shown(value, digits)
        if all(_side(Decimal(text), limit) == _side(value, limit) for limit in limits):
            return text
    return decimal_text(value, _MOST_PLACES)


def _side(value: Magnitude, limit: Magnitude) -> int:
    exact = Fraction(value)
    return (exact > limit) - (exact < limit)


def _limits(
    characteristic: Characteristic, criteria: Mapping[str, Any], verdict: Mapping[str, Any]
) -> tuple[Quantity | Decimal, ...]:
    """The limits of the plan, and those that a rule derived from them, as the findings say."""
    found: list[Quantity | Decimal] = []
    typed = characteristic.parse_criteria(dict(criteria))
    found += [v for v in map(typed.get, typed) if isinstance(v, Quantity | Decimal)]
    for finding in verdict.get("findings", ()):
        found += _limit_in_words(finding.get("limit", ""), characteristic)
    return tuple(found)


def _limit_in_words(text: str, characteristic: Characteristic) -> list[Quantity | Decimal]:
    """The limit in "at least 6.4 mil", as each kind of quantity that it can be.

    What follows a comma says by how much a decision rule guards or widens it.
    """
    match = _LIMIT_IN_WORDS.search(text.partition(", ")[0])
    if match is None:
        return []
    if match[2] is None:
        return [Decimal(match[1])]
    kinds = {field.dimension for field in characteristic.computed if field.dimension}
    found: list[Quantity | Decimal] = []
    for kind in kinds:
        try:
            found.append(Quantity.parse(match[0], kind))
        except InvalidQuantity:
            continue
    return found
