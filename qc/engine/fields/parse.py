"""From JSON to typed values: one function a kind, every refusal naming the field."""

import json
import re
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from qc.engine.fields.bounds import check_bounds
from qc.engine.fields.field import Field, InvalidValue, Kind
from qc.engine.fields.values import Values
from qc.engine.quantities import Dimension, InvalidQuantity, Quantity, parse_decimal, units_of

LONGEST_TEXT = 2000
LONGEST_LIST = 20_000
BEYOND_INTEGER = 10**15


def parse_fields(fields: Sequence[Field], raw: Any, path: str) -> Values:
    """Typed values of `raw`, a JSON object. InvalidValue on an unknown name or a bad value."""
    if not isinstance(raw, Mapping):
        raise InvalidValue(path, f"{_seen(raw)} is not an object of named values")
    known = {field.name: field for field in fields}
    for name in raw:
        if name not in known:
            raise InvalidValue(f"{path}.{name}", f"unknown; known here: {', '.join(known)}")
    return Values({f.name: _parse_field(f, raw.get(f.name), f"{path}.{f.name}") for f in fields})


def _parse_field(field: Field, raw: Any, path: str) -> Any:
    if raw is None or raw == "" or raw == []:
        if field.required:
            raise InvalidValue(path, "is required")
        return () if field.many or field.kind is Kind.TABLE else None
    parse = _PARSERS[field.kind]
    if not field.many:
        return parse(field, raw, path)
    items = raw if isinstance(raw, list) and not _is_single_pair(field, raw) else [raw]
    if len(items) > LONGEST_LIST:
        raise InvalidValue(path, f"{len(items)} values are more than {LONGEST_LIST}")
    return tuple(parse(field, item, f"{path}[{i}]") for i, item in enumerate(items))


def _quantity(field: Field, raw: Any, path: str) -> Quantity:
    allowed = f"give a number and a unit such as {field.unit}" if field.unit else "give a unit"
    if not isinstance(raw, str):
        raise InvalidValue(path, f"{_seen(raw)} is not a text such as {f'12 {field.unit}'!r}")
    try:
        value = Quantity.parse(raw, field.dimension)
    except InvalidQuantity as refusal:
        units = ", ".join(units_of(field.dimension)) if field.dimension else ""
        raise InvalidValue(path, f"{refusal}; {allowed} (known: {units})") from None
    check_bounds(field, value, path)
    return value


def _number(field: Field, raw: Any, path: str) -> Decimal:
    written = _written(raw)
    if written is None:
        raise InvalidValue(path, f"{_seen(raw)} is not a number in quotes such as '12.5'")
    try:
        value = parse_decimal(written)
    except InvalidQuantity as refusal:
        raise InvalidValue(path, str(refusal)) from None
    if field.minimum is not None and value < field.minimum:
        raise InvalidValue(path, f"{value} is below {field.minimum}, the least allowed")
    if field.maximum is not None and value > field.maximum:
        raise InvalidValue(path, f"{value} is above {field.maximum}, the most allowed")
    return value


def _integer(field: Field, raw: Any, path: str) -> int:
    value = _number(field, raw, path)
    if value != value.to_integral_value():
        raise InvalidValue(path, f"{value} is not a whole number")
    return int(value)


def _choice(field: Field, raw: Any, path: str) -> Any:
    written = _written(raw)
    found = None if written is None else _spellings(field).get(plain(written))
    if found is not None:
        return found
    if field.dimension is not None and written is not None and re.search(r"\d", written):
        return _quantity(field, raw, path)
    quantity = f", or a quantity such as 30 {field.unit}" if field.dimension else ""
    raise InvalidValue(path, f"{_seen(raw)} is not one of: {', '.join(field.choices)}{quantity}")


def _spellings(field: Field) -> dict[str, str]:
    aliases = {plain(alias): choice for alias, choice in (field.aliases or {}).items()}
    return aliases | {plain(choice): choice for choice in field.choices}


def _pair(field: Field, raw: Any, path: str) -> tuple[str, str]:
    parts = raw.split("=") if isinstance(raw, str) else raw
    if not _is_pair(parts):
        raise InvalidValue(path, f"{_seen(raw)} is not a pair such as 'A = B' or ['A', 'B']")
    return _choice(field, parts[0], path), _choice(field, parts[1], path)


def plain(text: str) -> str:
    """A choice without case, spaces, hyphens or the ways to write a half: "Sa 2 1/2" is "sa2.5"."""
    halved = text.casefold().replace("½", ".5").replace(" 1/2", ".5").replace("1/2", ".5")
    return re.sub(r"[\s_-]+", "", halved)


def _text(field: Field, raw: Any, path: str) -> str:
    if not isinstance(raw, str):
        raise InvalidValue(path, f"{_seen(raw)} is not a text")
    if len(raw) > LONGEST_TEXT:
        raise InvalidValue(path, f"is longer than {LONGEST_TEXT} characters")
    return raw.strip()


def _boolean(field: Field, raw: Any, path: str) -> bool:
    if not isinstance(raw, bool):
        raise InvalidValue(path, f"{_seen(raw)} is neither true nor false")
    return raw


def _moment(field: Field, raw: Any, path: str) -> datetime:
    try:
        moment = datetime.fromisoformat(raw) if isinstance(raw, str) and len(raw) > 10 else None
    except ValueError:
        moment = None
    if moment is None:
        raise InvalidValue(path, f"{_seen(raw)} is not a moment such as 2026-05-12T08:10+01:00")
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


def _date(field: Field, raw: Any, path: str) -> date:
    try:
        return date.fromisoformat(raw)
    except (TypeError, ValueError):
        raise InvalidValue(path, f"{_seen(raw)} is not a day such as 2026-05-12") from None


def _table(field: Field, raw: Any, path: str) -> tuple[tuple[Quantity, Quantity], ...]:
    pairs = list(raw.items()) if isinstance(raw, Mapping) else raw
    if not isinstance(pairs, list) or not all(_is_pair(pair) for pair in pairs):
        example = '{"20 degC": "60 min"}'
        raise InvalidValue(path, f"{_seen(raw)} is not a table such as {example}")
    time = Field(
        name="time", label="Time", dimension=Dimension.TIME, unit="min", minimum=Decimal(0)
    )
    rows = [(_quantity(field, t, path), _quantity(time, d, path)) for t, d in pairs]
    rows.sort(key=lambda row: row[0].magnitude_in("K"))
    for (colder, _), (hotter, _) in zip(rows, rows[1:], strict=False):
        if colder == hotter:
            raise InvalidValue(path, f"{hotter} stands twice in the table")
    return tuple(rows)


def _is_pair(pair: Any) -> bool:
    return isinstance(pair, list | tuple) and len(pair) == 2


def _is_single_pair(field: Field, raw: list[Any]) -> bool:
    two_choices = _is_pair(raw) and all(isinstance(part, str) for part in raw)
    return field.kind is Kind.PAIR and two_choices and not any("=" in part for part in raw)


def _group(field: Field, raw: Any, path: str) -> Values:
    return parse_fields(field.fields, raw, path)


def _written(raw: Any) -> str | None:
    """A text, or the digits of a whole number of sane length; None for anything else."""
    if isinstance(raw, int) and not isinstance(raw, bool) and abs(raw) < BEYOND_INTEGER:
        return str(raw)
    return raw if isinstance(raw, str) else None


def _seen(raw: Any) -> str:
    """What was given, short enough for a message of one line."""
    if isinstance(raw, str):
        return repr(raw[:40])
    if raw is None or isinstance(raw, bool | float):
        return json.dumps(raw)
    if isinstance(raw, int):
        return _written(raw) or "a number of more than 15 digits"
    return "a list" if isinstance(raw, list | tuple) else "an object"


_PARSERS: Mapping[Kind, Callable[[Field, Any, str], Any]] = {
    Kind.QUANTITY: _quantity,
    Kind.NUMBER: _number,
    Kind.INTEGER: _integer,
    Kind.CHOICE: _choice,
    Kind.TEXT: _text,
    Kind.BOOLEAN: _boolean,
    Kind.MOMENT: _moment,
    Kind.DATE: _date,
    Kind.TABLE: _table,
    Kind.GROUP: _group,
    Kind.PAIR: _pair,
}
