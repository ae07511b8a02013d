"""Residual moisture: dry by a method that the plan takes."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue


def judge(criteria: dict[str, Any], *places: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "moisture", "criteria": criteria, "readings": list(places)}
    return judge_case(case)


def seen(moist: bool, method: str = "visual", **more: Any) -> dict[str, Any]:
    return {"moist": moist, "method": method, **more}


@pytest.mark.parametrize("method", ["visual", "cloth", "sheet", "refractometer"])
def test_any_moisture_rejects_whatever_the_method(method: str) -> None:
    """IMO guideline on coating work, clause 3.3: not where the steel is or may be wet."""
    verdict = judge({}, seen(False), seen(True, method, location="south"))

    assert judge({}, seen(False, method))["outcome"] == "conforms"
    assert verdict["outcome"] == "does_not_conform"
    assert verdict["findings"][0]["statement"].startswith("South: moisture was found (")
    assert "IMO guideline on coating work, 3.3" in verdict["findings"][0]["source"]
    assert verdict["computed"] == {"moist": 1}


def test_only_the_methods_of_the_plan_show_that_it_is_dry() -> None:
    criteria = {"methods": ["cloth", "sheet"]}

    by_eye = judge(criteria, seen(False))

    assert by_eye["outcome"] == "incomplete"
    assert by_eye["flags"] == [
        "moisture.method: reading 1: not by a method of the plan, not counted"
    ]
    assert judge(criteria, seen(False), seen(False, "sheet"))["outcome"] == "conforms"
    assert judge(criteria, seen(True), seen(False, "sheet"))["outcome"] == "does_not_conform"


def test_fewer_places_than_asked_are_incomplete() -> None:
    assert judge({"readings_min": 2}, seen(False))["outcome"] == "incomplete"
    assert judge({"readings_min": 2}, seen(False), seen(False))["outcome"] == "conforms"
    assert judge({})["outcome"] == "incomplete"


def test_a_method_of_another_name_is_named() -> None:
    assert judge({}, seen(False, "other"))["outcome"] == "incomplete"
    assert judge({}, seen(False, "other", remark="infrared camera"))["outcome"] == "conforms"


@pytest.mark.parametrize(
    "wrong", [{"moist": None}, {"moist": "yes"}, {"method": None}, {"method": "taste"}]
)
def test_an_answer_without_method_or_finding_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^readings\[0\]\.{next(iter(wrong))}: "):
        judge({}, seen(False) | wrong)


@given(st.lists(st.booleans(), min_size=1, max_size=6), st.data())
def test_it_conforms_only_where_no_place_is_moist(places: list[bool], data: st.DataObject) -> None:
    mixed = data.draw(st.permutations(places))

    assert (judge({}, *map(seen, mixed))["outcome"] == "conforms") is not any(places)


def test_findings_and_flags_name_the_readings_they_mean() -> None:
    verdict = judge({"methods": ["cloth"]}, seen(False, "cloth"), seen(True, "other"))

    found, counted, unnamed = verdict["findings"]
    assert (found["observed"], found["limit"]) == ("moist", "dry")
    assert found["statement"] == (
        "Reading 2: moisture was found (another, named in the remark): dry it and test again."
    )
    assert counted["observed"] == "1"
    assert unnamed["statement"] == "Reading 2: the remark does not name the method."
    assert verdict["flags"][0].startswith("moisture.method: reading 2:")


def test_a_dry_surface_is_said_to_be_dry() -> None:
    verdict = judge({}, seen(False), seen(False, "cloth"))

    assert verdict["findings"][0]["observed"] == "dry"
    assert verdict["computed"] == {"moist": 0}
