"""What is judged here, written from the declarations: fields, units, offers, sources, example."""

import json
from collections.abc import Sequence
from datetime import UTC
from functools import cache
from importlib import resources
from typing import Any

from django.urls import reverse

from qc.engine.case import judge_case
from qc.engine.characteristic import Characteristic, decision_fields
from qc.engine.characteristics import ALL
from qc.engine.fields import Field, Kind
from qc.engine.quantities import symbol_of
from qc.engine.standards.tables import load_tables, source_text
from qc.engine.wording import value_text
from qc.web.forms.instruments import kind_label

_FOLDERS = "qc.engine.characteristics"

_KINDS = {
    Kind.QUANTITY: "quantity",
    Kind.NUMBER: "number",
    Kind.INTEGER: "whole number",
    Kind.CHOICE: "choice",
    Kind.TEXT: "text",
    Kind.BOOLEAN: "yes or no",
    Kind.MOMENT: "moment",
    Kind.DATE: "day",
    Kind.TABLE: "times by temperature",
    Kind.GROUP: "rows",
    Kind.PAIR: "pair of choices",
}

_DECISION = {field.name for field in decision_fields()}
"""Criteria that every numeric characteristic takes; they say nothing of what it judges."""

_NAMED = 6
"""How many criteria the list names; the page of the characteristic has all."""


def characteristics_page() -> dict[str, Any]:
    """Everything the template writes."""
    return {
        "crumbs": _crumbs(),
        "count": len(ALL),
        "columns": [
            {"label": "Characteristic"},
            {"label": "Key", "tight": True},
            {"label": "A plan can ask for"},
            {"label": "Offered", "numeric": True},
            {"label": "Figures from"},
        ],
        "rows": [{"cells": _line(each)} for each in ALL],
    }


def characteristic_page(characteristic: Characteristic) -> dict[str, Any]:
    """Everything the template writes."""
    example = example_of(characteristic.key)
    return {
        "crumbs": _crumbs(characteristic.title),
        "checks": characteristic,
        "figures": figures_from(characteristic.key),
        "instruments": [kind_label(kind).lower() for kind in characteristic.instruments],
        "orders": _orders(characteristic),
        "field_columns": [{"label": label} for label in ("Field", "Name", "Takes")],
        "criteria_columns": [
            {"label": label} for label in ("Criterion", "Name", "Takes", "Offered")
        ],
        "criteria": [{"cells": [*_cells(f), _offer(f)]} for f in characteristic.criteria],
        "reading": [{"cells": _cells(f)} for f in characteristic.reading],
        "computed": [{"cells": _cells(f)} for f in characteristic.computed],
        "example": resources_text(characteristic.key),
        "verdict": judge_case(example),
        "verdict_text": json.dumps(judge_case(example), indent=2, ensure_ascii=False),
        "schema": json.dumps(characteristic.schema(), indent=2, ensure_ascii=False),
    }


@cache
def resources_text(key: str) -> str:
    """The example case of a characteristic as it stands in its folder."""
    return resources.files(f"{_FOLDERS}.{key}").joinpath("example.json").read_text("utf-8")


def example_of(key: str) -> Any:
    """The example case of a characteristic."""
    return json.loads(resources_text(key))


def figures_from(key: str) -> str:
    """Where the figures of a characteristic's own tables come from, and how they were obtained."""
    try:
        tables = load_tables(f"{_FOLDERS}.{key}")
    except FileNotFoundError:
        return "no figures of its own: the plan states them"
    return f"{source_text(tables)} ({tables['source']['how']})"


def _crumbs(*further: str) -> list[dict[str, str]]:
    here = {"label": "Characteristics", "url": reverse("characteristics") if further else ""}
    return [
        {"label": "Repairs", "url": reverse("home")},
        here,
        *({"label": label, "url": ""} for label in further),
    ]


def _line(characteristic: Characteristic) -> list[dict[str, str]]:
    offers = len([f for f in characteristic.criteria if f.default is not None])
    url = reverse("characteristic", args=[characteristic.key])
    return [
        {"text": characteristic.title, "url": url},
        {"text": characteristic.key},
        {"text": _asked(characteristic)},
        {"text": str(offers) if offers else ""},
        {"text": figures_from(characteristic.key)},
    ]


def _asked(characteristic: Characteristic) -> str:
    """The first criteria by their labels, and how many there are beside them."""
    labels = [f.label for f in characteristic.criteria if f.name not in _DECISION]
    more = len(labels) - _NAMED
    return "; ".join([*labels[:_NAMED], *([f"{more} more"] if more > 0 else [])])


def _cells(field: Field) -> list[dict[str, str]]:
    said = [taken_by(field), "needed" if field.required else "", field.help]
    takes = ". ".join(f"{part[:1].upper()}{part[1:]}" for part in said if part)
    return [{"text": field.label}, {"text": field.name}, {"text": takes}]


def _offer(field: Field) -> dict[str, str]:
    if field.default is None:
        return {"text": ""}
    return {"text": f"{value_text(field, field.default, UTC)}. Source: {field.default_source}"}


def taken_by(field: Field) -> str:
    """What a field takes: "list of quantity in mm (US: mil), 0 to 1000 mm"."""
    kind = f"{'list of ' if field.many else ''}{_KINDS[field.kind]}"
    units = [symbol_of(unit) for unit in (field.unit, field.us_unit) if unit]
    in_units = f" in {units[0]}{f' (US: {units[1]})' if units[1:] else ''}" if units else ""
    parts = [f"{kind}{in_units}", _range(field), *_members(field)]
    return ", ".join(part for part in parts if part)


def _range(field: Field) -> str:
    unit = f" {symbol_of(field.unit)}" if field.unit else ""
    match field.minimum, field.maximum:
        case None, None:
            return ""
        case least, None:
            return f"from {least}{unit}"
        case None, most:
            return f"up to {most}{unit}"
        case least, most:
            return f"{least} to {most}{unit}"


def _members(field: Field) -> Sequence[str]:
    if field.fields:
        return ["each with " + ", ".join(member.name for member in field.fields)]
    return ["one of: " + ", ".join(field.choices)] if field.choices else []


def _orders(characteristic: Characteristic) -> list[str]:
    labels = {field.name: field.label for field in characteristic.criteria}
    return [f"{labels[low]} is never above: {labels[high]}" for low, high in characteristic.ordered]
