"""One stored value in words: figures as they were entered, units by their printed sign."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime, tzinfo
from typing import Any

from qc.engine.fields import Field, Kind
from qc.engine.quantities import InvalidQuantity, Quantity, decimal_text, symbol_of


def moment_text(moment: datetime, zone: tzinfo) -> str:
    """A moment by the clock of `zone`: "12 May 2026 09:31"."""
    local = moment.astimezone(zone)
    return f"{day_text(local.date())} {local:%H:%M}"


def weekday_text(moment: datetime, zone: tzinfo) -> str:
    """A moment with its day of the week, for what is to come: "Tue 12 May 2026 09:31"."""
    return f"{moment.astimezone(zone):%a} {moment_text(moment, zone)}"


def day_text(day: date) -> str:
    """A day: "12 May 2026"."""
    return f"{day.day} {day:%b %Y}"


def quantity_text(stored: str) -> str:
    """A stored quantity with its printed sign: "24.3 degC" is "24.3 °C"; other text unchanged."""
    try:
        quantity = Quantity.parse(stored)
    except InvalidQuantity:
        return stored
    return f"{decimal_text(quantity.magnitude)} {symbol_of(quantity.unit)}"


def unit_beside(
    field: Field, criteria_fields: Sequence[Field], criteria: Mapping[str, Any], system: str
) -> str:
    """The unit in which a page asks for and prints a quantity.

    That of the first criterion of its kind (`criteria` in the case format), else that of the
    `system`, "metric" or "us".
    """
    for criterion in criteria_fields:
        given = criteria.get(criterion.name)
        same_kind = criterion.kind is Kind.QUANTITY and criterion.dimension is field.dimension
        if same_kind and isinstance(given, str) and given:
            return Quantity.parse(given, criterion.dimension).unit
    return field.unit_in(system)


def value_text(field: Field, stored: Any, zone: tzinfo) -> str:
    """A stored value of `field`, in the case format, as a page prints it; "" where there is none.

    Moments are given by the clock of `zone`.
    """
    if stored is None or stored == "" or stored == []:
        return ""
    if field.many:
        items = stored if isinstance(stored, list) else [stored]
        separator = "; " if field.kind is Kind.GROUP else ", "
        return separator.join(_one(field, item, zone) for item in items)
    return _one(field, stored, zone)


def _one(field: Field, stored: Any, zone: tzinfo) -> str:
    match field.kind:
        case Kind.CHOICE if stored in field.choices:
            return field.label_of(stored)
        case Kind.MOMENT:
            return _to_the_second(datetime.fromisoformat(stored), zone)
        case Kind.GROUP:
            return _group(field, stored, zone)
        case _:
            return _SIMPLE.get(field.kind, str)(stored)


def _to_the_second(moment: datetime, zone: tzinfo) -> str:
    """A moment as it was read off a watch: with its seconds, unless it fell on the minute."""
    return f"{moment_text(moment, zone)}{f':{moment:%S}' if moment.second else ''}"


def _table(stored: Any) -> str:
    pairs = stored.items() if isinstance(stored, Mapping) else stored
    # By rising temperature, since the members of a JSON object have no order of their own.
    pairs = sorted(pairs, key=lambda pair: Quantity.parse(pair[0]).magnitude_in("K"))
    return "; ".join(f"{quantity_text(key)}: {quantity_text(time)}" for key, time in pairs)


def _group(field: Field, stored: Mapping[str, Any], zone: tzinfo) -> str:
    """The members of a group; the first names it, and a text that comes second says it."""
    first, *others = field.fields
    named = value_text(first, stored.get(first.name), zone)
    if others and others[0].kind is Kind.TEXT and stored.get(others[0].name):
        named = f"{named}: {stored[others.pop(0).name]}"
    parts = [named]
    for member in others:
        if said := value_text(member, stored.get(member.name), zone):
            parts.append(f"{member.label}: {said}")
    return ", ".join(part for part in parts if part)


_SIMPLE: Mapping[Kind, Callable[[Any], str]] = {
    Kind.QUANTITY: lambda stored: quantity_text(str(stored)),
    Kind.CHOICE: lambda stored: quantity_text(str(stored)),
    Kind.BOOLEAN: lambda stored: "yes" if stored else "no",
    Kind.DATE: lambda stored: day_text(date.fromisoformat(stored)),
    Kind.PAIR: lambda stored: stored if isinstance(stored, str) else " = ".join(stored),
    Kind.TABLE: _table,
}
