"""JSON Schema (draft 2020-12) of a list of fields."""

from collections.abc import Sequence
from typing import Any

from qc.engine.fields.field import Field, Kind
from qc.engine.quantities import units_of

_NUMBER_PATTERN = r"^\s*[+-]?[0-9]{1,15}(\.[0-9]{1,15})?\s*$"


def object_schema(fields: Sequence[Field]) -> dict[str, Any]:
    """The schema of a JSON object holding `fields`."""
    return {
        "type": "object",
        "additionalProperties": False,
        "properties": {field.name: _field_schema(field) for field in fields},
        "required": [field.name for field in fields if field.required],
    }


def _field_schema(field: Field) -> dict[str, Any]:
    one = {"title": field.label, **_value_schema(field)}
    if field.help:
        one["description"] = field.help
    if not field.many:
        return one
    title = one.pop("title")
    return {"title": title, "anyOf": [{"type": "array", "items": one}, one]}


def _value_schema(field: Field) -> dict[str, Any]:
    match field.kind:
        case Kind.QUANTITY:
            return _quantity_schema(field)
        case Kind.NUMBER | Kind.INTEGER:
            return {"anyOf": [{"type": "string", "pattern": _NUMBER_PATTERN}, {"type": "integer"}]}
        case Kind.CHOICE:
            return _choice_schema(field)
        case Kind.PAIR:
            two = {"type": "array", "items": _choice_schema(field), "minItems": 2, "maxItems": 2}
            return {"anyOf": [two, {"type": "string", "pattern": "^[^=]+=[^=]+$"}]}
        case Kind.TABLE:
            return {"type": "object", "additionalProperties": {"type": "string"}}
        case Kind.GROUP:
            return object_schema(field.fields)
        case _:
            return _PLAIN[field.kind]


def _choice_schema(field: Field) -> dict[str, Any]:
    return {"type": "string", "examples": list(field.choices)}


def _quantity_schema(field: Field) -> dict[str, Any]:
    units = " ".join(units_of(field.dimension)) if field.dimension else "any unit"
    return {
        "type": "string",
        "pattern": r"^\s*[+-]?[0-9]{1,15}(\.[0-9]{1,15})?\s*[^\s0-9.,]\S*\s*$",
        "$comment": f"a number and one of the units: {units}",
    }


_PLAIN: dict[Kind, dict[str, Any]] = {
    Kind.TEXT: {"type": "string"},
    Kind.BOOLEAN: {"type": "boolean"},
    Kind.MOMENT: {"type": "string", "format": "date-time"},
    Kind.DATE: {"type": "string", "format": "date"},
}
