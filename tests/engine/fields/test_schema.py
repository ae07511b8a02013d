"""JSON Schema of fields: says what the parser takes."""

import re
from decimal import Decimal
from typing import Any

import pytest

from qc.engine.fields import Field, Kind, object_schema
from qc.engine.quantities import Dimension

FIELDS = (
    Field(name="air", label="Air", dimension=Dimension.TEMPERATURE, unit="degC", help="in shade"),
    Field(name="steel", label="Steel", dimension=Dimension.TEMPERATURE, unit="degC", many=True),
    Field(name="count", label="Count", kind=Kind.INTEGER, required=True, minimum=Decimal(1)),
    Field(name="grade", label="Grade", kind=Kind.CHOICE, choices=("Sa 2", "Sa 3")),
    Field(name="pairs", label="Pairs", kind=Kind.PAIR, choices=("Sa 2", "SP 6"), many=True),
    Field(name="wet", label="Wet", kind=Kind.BOOLEAN),
    Field(name="at", label="At", kind=Kind.MOMENT),
    Field(name="on", label="On", kind=Kind.DATE),
    Field(name="note", label="Note", kind=Kind.TEXT),
    Field(name="zone", label="Zone", kind=Kind.GROUP, fields=(Field(name="min", label="Min"),)),
    Field(name="table", label="Table", kind=Kind.TABLE, dimension=Dimension.TEMPERATURE),
)
SCHEMA = object_schema(FIELDS)


def test_every_field_is_described_and_no_other_allowed() -> None:
    assert SCHEMA["additionalProperties"] is False
    assert list(SCHEMA["properties"]) == [field.name for field in FIELDS]
    assert SCHEMA["required"] == ["count"]


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("wet", {"title": "Wet", "type": "boolean"}),
        ("at", {"title": "At", "type": "string", "format": "date-time"}),
        ("on", {"title": "On", "type": "string", "format": "date"}),
        ("note", {"title": "Note", "type": "string"}),
        ("grade", {"title": "Grade", "type": "string", "examples": ["Sa 2", "Sa 3"]}),
    ],
)
def test_plain_kinds_are_plain_types(name: str, expected: dict[str, Any]) -> None:
    assert SCHEMA["properties"][name] == expected


def test_a_quantity_is_a_text_with_one_of_the_units() -> None:
    air = SCHEMA["properties"]["air"]

    assert air["type"] == "string"
    assert air["description"] == "in shade"
    assert "degC" in air["$comment"]
    for good in ("24.3 degC", "-3 degF", " 5 K "):
        assert re.search(air["pattern"], good)
    for bad in ("24.3", "degC", "1e3 degC", "2,5 degC"):
        assert not re.search(air["pattern"], bad)


def test_a_list_is_a_list_or_its_one_value() -> None:
    steel = SCHEMA["properties"]["steel"]

    assert steel["title"] == "Steel"
    assert [option.get("type") for option in steel["anyOf"]] == ["array", "string"]


def test_a_pair_is_two_texts_or_one_with_an_equals_sign() -> None:
    options = SCHEMA["properties"]["pairs"]["anyOf"][1]["anyOf"]

    assert (options[0]["minItems"], options[0]["maxItems"]) == (2, 2)
    assert re.search(options[1]["pattern"], "Sa 2 = SP 6")
    assert not re.search(options[1]["pattern"], "Sa 2")


def test_groups_and_tables_are_objects() -> None:
    assert SCHEMA["properties"]["zone"]["properties"]["min"]["title"] == "Min"
    assert SCHEMA["properties"]["table"]["type"] == "object"
