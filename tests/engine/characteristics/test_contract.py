"""What is true of every characteristic, those not yet written included."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from qc.engine import characteristics
from qc.engine.case import judge_case
from qc.engine.characteristic import Characteristic
from qc.engine.characteristics import ALL, CHARACTERISTICS
from qc.engine.fields import Field, InvalidValue, Kind
from qc.engine.quantities import dimension_of
from qc.engine.quantities.units import UNITS
from qc.engine.rules import Outcome
from tests.engine.characteristics.entries import JUNK, cases

INSTRUMENTS = {
    "barcol_impressor",
    "barometer",
    "caliper",
    "comparator",
    "conductivity_meter",
    "data_logger",
    "depth_gauge",
    "durometer",
    "holiday_detector",
    "hygrometer",
    "pressure_gauge",
    "profile_gauge",
    "psychrometer",
    "pull_off_tester",
    "reference_photographs",
    "replica_tape",
    "scale",
    "stopwatch",
    "surface_thermometer",
    "thermometer",
    "thickness_gauge",
}

every = pytest.mark.parametrize("characteristic", ALL, ids=lambda c: c.key)
every_key = pytest.mark.parametrize("key", CHARACTERISTICS)
few = settings(
    max_examples=30,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
PLAUSIBLE = {c.key: cases(c) for c in ALL}
WITH_JUNK = {c.key: cases(c, JUNK) for c in ALL}


def declared(fields: tuple[Field, ...]) -> Iterator[Field]:
    for field in fields:
        yield field
        yield from declared(field.fields)


def all_fields(characteristic: Characteristic) -> list[Field]:
    groups = characteristic.criteria, characteristic.reading, characteristic.computed
    return [field for fields in groups for field in declared(fields)]


def test_every_folder_is_registered_under_its_own_name() -> None:
    folder = Path(characteristics.__file__).parent
    folders = {path.parent.name for path in folder.glob("*/__init__.py")}

    assert set(CHARACTERISTICS) == folders
    assert len(ALL) == len(CHARACTERISTICS)


@every
def test_names_within_one_object_are_unique(characteristic: Characteristic) -> None:
    groups = [f.fields for f in all_fields(characteristic)]
    groups += [characteristic.criteria, characteristic.reading, characteristic.computed]

    for fields in groups:
        names = [field.name for field in fields]
        assert len(set(names)) == len(names)
        assert all(re.fullmatch(r"[a-z][a-z0-9_]*", name) for name in names)


@every
def test_every_field_has_a_label_and_known_units(characteristic: Characteristic) -> None:
    for field in all_fields(characteristic):
        assert field.label, field.name
        units = [unit for unit in (field.unit, field.us_unit) if unit]
        assert all(unit in UNITS for unit in units), field.name
        if field.dimension is not None:
            assert all(dimension_of(unit) is field.dimension for unit in units), field.name
        if field.kind is Kind.QUANTITY:
            assert units, field.name


@every
def test_bounds_and_choices_make_sense(characteristic: Characteristic) -> None:
    for field in all_fields(characteristic):
        if field.minimum is not None and field.maximum is not None:
            assert field.minimum < field.maximum, field.name
        if field.kind in (Kind.CHOICE, Kind.PAIR):
            assert field.choices, field.name
        assert set(field.labels or ()) <= set(field.choices), field.name
        assert set((field.aliases or {}).values()) <= set(field.choices), field.name
        assert bool(field.fields) is (field.kind is Kind.GROUP), field.name


@every
def test_the_criteria_that_are_ordered_exist(characteristic: Characteristic) -> None:
    names = {field.name for field in characteristic.criteria}

    assert {name for pair in characteristic.ordered for name in pair} <= names


@every
def test_an_inspector_is_told_how_to_read_and_what_can_hurt(
    characteristic: Characteristic,
) -> None:
    assert characteristic.title
    assert characteristic.schema_version >= 1
    assert len(characteristic.method) > 100
    assert set(characteristic.instruments) <= INSTRUMENTS
    assert all(caution.endswith(".") for caution in characteristic.cautions)


@every
def test_an_unknown_name_is_refused(characteristic: Characteristic) -> None:
    with pytest.raises(InvalidValue, match=r"^criteria\.no_such_name: unknown"):
        characteristic.parse_criteria({"no_such_name": "1"})
    with pytest.raises(InvalidValue, match=r"^reading\.no_such_name: unknown"):
        characteristic.parse_reading({"no_such_name": "1"})


@every
def test_the_schema_is_a_json_schema_that_names_every_field(
    characteristic: Characteristic,
) -> None:
    schema = characteristic.schema()

    assert json.loads(json.dumps(schema)) == schema
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["properties"]["characteristic"] == {"const": characteristic.key}
    for key, fields in (
        ("criteria", characteristic.criteria),
        ("readings", characteristic.reading),
    ):
        part = schema["properties"][key]
        part = part["items"] if key == "readings" else part
        assert list(part["properties"]) == [field.name for field in fields]
    check_schema(schema)


KEYWORDS: dict[str, type | tuple[type, ...]] = {
    "$schema": str,
    "$comment": str,
    "title": str,
    "description": str,
    "type": str,
    "format": str,
    "pattern": str,
    "const": (str, int),
    "enum": list,
    "examples": list,
    "required": list,
    "properties": dict,
    "items": dict,
    "anyOf": list,
    "additionalProperties": (bool, dict),
    "minItems": int,
    "maxItems": int,
    "minimum": int,
    "maximum": int,
}
TYPES = {"object", "array", "string", "integer", "number", "boolean", "null"}


def check_schema(schema: Any) -> None:
    """Every keyword is one of the vocabulary and holds what the vocabulary asks for."""
    assert isinstance(schema, dict)
    for keyword, value in schema.items():
        assert isinstance(value, KEYWORDS[keyword]), keyword
    assert schema.get("type", "object") in TYPES
    if "pattern" in schema:
        re.compile(schema["pattern"])
    assert set(schema.get("required", [])) <= set(schema.get("properties", {}))
    for inner in (*schema.get("properties", {}).values(), *schema.get("anyOf", [])):
        check_schema(inner)
    for keyword in ("items", "additionalProperties"):
        if isinstance(schema.get(keyword), dict):
            check_schema(schema[keyword])


@every_key
@given(data=st.data())
@few
def test_no_reading_is_incomplete_whatever_is_asked(key: str, data: st.DataObject) -> None:
    case = data.draw(PLAUSIBLE[key]) | {"readings": []}
    try:
        verdict = judge_case(case)
    except InvalidValue:
        return

    assert verdict["outcome"] == "incomplete"


@every_key
@given(data=st.data())
@few
def test_a_verdict_names_its_rules_holds_what_is_declared_and_repeats(
    key: str, data: st.DataObject
) -> None:
    case = data.draw(PLAUSIBLE[key])
    try:
        verdict = judge_case(case)
    except InvalidValue:
        return

    assert verdict["outcome"] in set(Outcome)
    for finding in verdict["findings"]:
        assert finding["rule"].split(".")[0] == key
        assert finding["outcome"] in set(Outcome)
        assert re.fullmatch(r"[^\n]+\.", finding["statement"])
    assert json.loads(json.dumps(verdict)) == verdict
    check_computed(key, verdict["computed"], len(case["readings"]))
    assert judge_case(case) == verdict


def check_computed(key: str, computed: dict[str, Any], readings: int) -> None:
    by_name = {field.name: field for field in CHARACTERISTICS[key].computed}
    assert set(computed) <= set(by_name)
    for name, value in computed.items():
        if by_name[name].per_reading and value is not None:
            assert isinstance(value, list), name
            assert len(value) == readings, name


@every_key
@given(data=st.data())
@few
def test_junk_raises_nothing_but_the_refusal(key: str, data: st.DataObject) -> None:
    case = data.draw(WITH_JUNK[key])

    try:
        judge_case(case)
    except InvalidValue as refusal:
        assert re.match(r"(criteria|readings\[\d+\])", refusal.path), refusal.path
        assert "\n" not in str(refusal)


FORMAT = {
    "ambient": (
        "margin_min humidity_max air_min air_max steel_min steel_max interval_max "
        "interval_tolerance decision expanded_uncertainty",
        "at air humidity wet_bulb pressure steel moisture_visible",
        "dew_point frost_point humidity margin",
    ),
    "cleanliness": (
        "required flash_rust_max equivalents",
        "achieved rust_grade flash_rust degreased profile",
        "",
    ),
    "profile": (
        "min max method statistic locations_min readings_min decision expanded_uncertainty",
        "location values tape_grades film_included",
        "location_values mean",
    ),
    "mixing": (
        "duration_min duration_max ratio ratio_basis ratio_tolerance induction pot_life "
        "pot_life_starts",
        "mix_start mix_end first_use last_use material_temperature part_a part_b expiry",
        "duration ratio_deviation pot_life use_by",
    ),
    "thickness": (
        "rule nominal min max level area surface_profile share_bound zones decision "
        "expanded_uncertainty",
        "zone values",
        "corrected mean lowest share_below_nominal",
    ),
    "cure": (
        "table mode activation_temperature reference datum age_min gap_max temperature_min",
        "at temperature",
        "fraction equivalent_age maturity complete_at",
    ),
    "hardness": (
        "scale min qualified_min fraction statistic readings_min dwell decision "
        "expanded_uncertainty",
        "values dwell surface_temperature",
        "mean median lowest limit",
    ),
}


@pytest.mark.parametrize("key", FORMAT)
def test_the_names_of_the_case_format_are_kept(key: str) -> None:
    """Files and programs out there use them: a name may be added, none may go."""
    found = CHARACTERISTICS[key]
    criteria, reading, computed = (set(names.split()) for names in FORMAT[key])

    assert criteria <= {field.name for field in found.criteria}
    assert reading <= {field.name for field in found.reading}
    assert computed <= {field.name for field in found.computed}
