"""The case format: what is refused at its door, by name, and what comes back."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine import ENGINE
from qc.engine.case import characteristic_named, judge_case
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import InvalidValue

CASE = {
    "characteristic": "ambient",
    "criteria": {"margin_min": "3 degC", "humidity_max": "85 %"},
    "sources": {"margin_min": "product data sheet, page 2"},
    "readings": [{"air": "25 degC", "humidity": "60 %", "steel": ["25 degC"]}],
}

json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=8,
)


def test_a_verdict_holds_the_keys_of_the_format_and_json_types_only() -> None:
    verdict = judge_case(CASE)

    assert list(verdict) == ["outcome", "findings", "computed", "flags", "engine"]
    assert verdict["outcome"] == "conforms"
    assert verdict["engine"] == ENGINE
    assert json.loads(json.dumps(verdict)) == verdict
    for finding in verdict["findings"]:
        assert list(finding) == ["rule", "outcome", "observed", "limit", "statement", "source"]


def test_every_limit_carries_the_source_that_was_given_or_says_that_none_was() -> None:
    sources = {f["rule"]: f["source"] for f in judge_case(CASE)["findings"]}

    assert sources == {
        "ambient.margin": "product data sheet, page 2",
        "ambient.humidity": "as given in the criteria; source not stated",
    }


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"characteristic": "colour"}, "case.characteristic: 'colour' is not one of: ambient"),
        ({"characteristic": None}, "case.characteristic: must be one of"),
        ({"characteristic": ["ambient"]}, "case.characteristic: must be one of"),
        ({"characteristic": 10**5000}, "case.characteristic: must be one of"),
        ({"criteria": None}, "criteria: null is not an object"),
        ({"criteria": []}, "criteria: a list is not an object"),
        ({"criteria": {"margin": "3 degC"}}, "criteria.margin: unknown; known here: margin_min"),
        ({"criteria": {"margin_min": 3}}, "criteria.margin_min: 3 is not a text"),
        ({"readings": None}, "readings: is not a list of readings"),
        ({"readings": {}}, "readings: is not a list of readings"),
        ({"readings": ["dry"]}, "readings[0]: 'dry' is not an object"),
        ({"readings": [{}, {"air": "warm"}]}, "readings[1].air: 'warm' is not a number with a"),
        ({"sources": []}, "case.sources: is not an object of texts by criterion"),
        ({"sources": {"margin_min": 2}}, "case.sources: is not an object of texts by criterion"),
        ({"verdict": "conforms"}, "case.verdict: unknown; known: characteristic, criteria"),
    ],
)
def test_a_bad_case_is_refused_by_the_name_of_the_field(
    changed: dict[str, Any], message: str
) -> None:
    with pytest.raises(InvalidValue) as caught:
        judge_case(CASE | changed)

    assert str(caught.value).startswith(message)


@pytest.mark.parametrize("case", [None, [], "ambient", 3])
def test_what_is_no_object_is_no_case(case: Any) -> None:
    with pytest.raises(InvalidValue, match="^case: is not an object"):
        judge_case(case)


def test_a_case_without_readings_key_is_refused_and_without_criteria_judges_nothing() -> None:
    with pytest.raises(InvalidValue, match="^readings: "):
        judge_case({"characteristic": "ambient", "criteria": {}})
    assert judge_case({"characteristic": "ambient", "readings": []})["outcome"] == "incomplete"


def test_every_characteristic_is_found_by_its_key() -> None:
    for key, characteristic in CHARACTERISTICS.items():
        assert characteristic_named(key) is characteristic


def test_judging_changes_nothing_in_the_case_and_repeats_exactly() -> None:
    before = json.dumps(CASE)

    assert judge_case(CASE) == judge_case(CASE)
    assert json.dumps(CASE) == before


@given(json_values)
def test_junk_raises_nothing_but_the_refusal(case: Any) -> None:
    with pytest.raises(InvalidValue):
        judge_case(case)


@given(st.sampled_from(list(CHARACTERISTICS)), json_values, json_values)
def test_junk_inside_raises_nothing_but_the_refusal(key: str, criteria: Any, reading: Any) -> None:
    try:
        judge_case({"characteristic": key, "criteria": criteria, "readings": [reading]})
    except InvalidValue as caught:
        assert caught.path
