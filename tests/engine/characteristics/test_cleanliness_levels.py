"""Cleanliness: hand and power tools, editions and levels, through the public door."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

DONE = {"degreased": True, "profile": "50 um"}
LEVEL = {"required": "SP 11", "edition": "2020", "level": 2}


def judge(criteria: dict[str, Any], *places: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "cleanliness", "criteria": criteria, "readings": list(places)}
    return judge_case(case)


def sp11(**more: Any) -> dict[str, Any]:
    return {"achieved": "SP 11", **DONE, **more}


@pytest.mark.parametrize(
    ("setting", "outcome"),
    [({}, "conforms"), ({"hand_below_power": True}, "conforms"),
     ({"hand_below_power": False}, "cannot_be_judged")],
)  # fmt: skip
def test_a_plan_says_whether_power_tools_meet_hand_tools(
    setting: dict[str, Any], outcome: str
) -> None:
    """Common practice."""
    assert judge({"required": "SP 2"} | setting, {"achieved": "SP 3", **DONE})["outcome"] == outcome


def test_hand_tools_do_not_meet_power_tools() -> None:
    below = judge({"required": "SP 3"}, {"achieved": "SP 2", **DONE})

    assert below["outcome"] == "does_not_conform"
    apart = {"required": "SP 3", "hand_below_power": False}
    assert judge(apart, {"achieved": "SP 2", **DONE})["outcome"] == "cannot_be_judged"


def test_a_plan_that_keeps_the_chains_apart_may_list_the_pair() -> None:
    criteria = {"required": "SP 2", "hand_below_power": False, "equivalents": [["SP 2", "SP 3"]]}

    assert judge(criteria, {"achieved": "SP 3", **DONE})["outcome"] == "conforms"
    assert judge(criteria, sp11())["outcome"] == "conforms"


def test_pairs_that_lower_a_grade_follow_the_setting() -> None:
    """SP 3 asked for, SP 2 listed in its place: below it, or of another chain."""
    listed = {"required": "SP 3", "equivalents": [["SP 3", "SP 2"]]}

    with pytest.raises(InvalidValue, match=r"^criteria\.equivalents"):
        judge(listed, {"achieved": "SP 2", **DONE})
    apart = listed | {"hand_below_power": False}
    assert judge(apart, {"achieved": "SP 2", **DONE})["outcome"] == "conforms"


@pytest.mark.parametrize(
    ("level", "outcome"),
    [(2, "conforms"), (1, "cannot_be_judged"), (3, "cannot_be_judged"), (None, "incomplete")],
)
def test_only_the_level_that_is_asked_for_is_known_to_meet(level: int | None, outcome: str) -> None:
    """SSPC-SP 11 (2020), three levels, second-hand; their order was not read."""
    verdict = judge(LEVEL, sp11(level=level))

    assert verdict["outcome"] == outcome
    (found,) = (f for f in verdict["findings"] if f["rule"] == "cleanliness.level")
    assert found["outcome"] == outcome
    assert found["observed"] == ("not stated" if level is None else str(level))
    assert found["limit"] == "level 2"
    assert "to be confirmed against the licensed text" in found["source"]


def test_a_level_is_judged_where_the_plan_names_one_only() -> None:
    assert judge({"required": "SP 11"}, sp11(level=3))["outcome"] == "conforms"
    assert judge({"required": "SP 11", "edition": "2012"}, sp11())["outcome"] == "conforms"


def test_a_place_of_another_grade_has_no_level() -> None:
    below = judge(LEVEL, {"achieved": "SP 3", **DONE})

    assert [f["rule"] for f in below["findings"]] == ["cleanliness.grade", "cleanliness.degreased"]
    verdict = judge(LEVEL, {"achieved": "SP 3", **DONE}, sp11(level=1), sp11(level=2))
    (found,) = (f for f in verdict["findings"] if f["rule"] == "cleanliness.level")
    assert found["statement"].startswith("Reading 2: level 1 of SP 11 is not the level 2 asked for")
    assert found["observed"] == "1, 2"


@pytest.mark.parametrize(
    ("criteria", "path"),
    [
        ({"required": "SP 10", "level": 1}, r"criteria\.level: belongs to"),
        ({"level": 1}, r"criteria\.level: belongs to"),
        ({"required": "SP 11", "level": 0}, r"criteria\.level"),
        ({"required": "SP 11", "level": 4}, r"criteria\.level"),
        ({"hand_below_power": "yes"}, r"criteria\.hand_below_power"),
    ],
)
def test_settings_without_sense_are_refused(criteria: dict[str, Any], path: str) -> None:
    with pytest.raises(InvalidValue, match=f"^{path}"):
        judge(criteria, sp11())
