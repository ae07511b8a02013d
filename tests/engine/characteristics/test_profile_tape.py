"""Replica tape: film, overlap of two grades, ranges of the grades."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

TAPE = {"method": "replica_tape", "min": "20 um", "max": "120 um"}


def judge(reading: dict[str, Any], **criteria: Any) -> dict[str, Any]:
    return judge_case(
        {"characteristic": "profile", "criteria": TAPE | criteria, "readings": [reading]}
    )


def tapes(*pairs: str, unit: str = "um", **more: Any) -> dict[str, Any]:
    """Readings such as "C 50": grade and gauge value."""
    grades = [pair.split()[0] for pair in pairs]
    values = [f"{pair.split()[1]} {unit}" for pair in pairs]
    return {"location": "A", "values": values, "tape_grades": grades, "film_included": False} | more


def recorded(reading: dict[str, Any], **criteria: Any) -> str | None:
    (value,) = judge(reading, **criteria)["computed"]["location_values"]
    return str(value) if value else None


@pytest.mark.parametrize(
    ("pairs", "value"),
    [
        (("C 30",), "30 um"),
        (("C 50", "XC 56"), "53 um"),
        (("C 63", "XC 68"), "68 um"),
        (("C 40", "XC 36"), "36 um"),
        (("XC 90",), "90 um"),
        (("XC 56", "C 50"), "53 um"),
        (("XC 68", "C 63"), "68 um"),
    ],
)
def test_the_profile_recorded_of_one_or_two_tapes(pairs: tuple[str, ...], value: str) -> None:
    """Calculated from the overlap rule, read second-hand."""
    verdict = judge(tapes(*pairs))

    assert verdict["computed"]["location_values"] == [value]
    assert verdict["outcome"] == "conforms"


@pytest.mark.parametrize(
    ("pair", "unit", "needs_second"),
    [
        ("C 38", "um", True), ("C 37.9", "um", False), ("XC 64", "um", True),
        ("XC 64.1", "um", False), ("C 1.5", "mil", True), ("C 1.49", "mil", False),
        ("XC 2.5", "mil", True), ("XC 2.51", "mil", False), ("coarse_minus 38", "um", False),
        ("x_coarse_plus 64", "um", False),
    ],
)  # fmt: skip
def test_in_the_overlap_the_other_grade_is_needed(pair: str, unit: str, needs_second: bool) -> None:
    """Overlap 38 to 64 um, in US units 1.5 to 2.5 mil, both included; read second-hand."""
    verdict = judge(tapes(pair, unit=unit))

    assert verdict["outcome"] == ("incomplete" if needs_second else "conforms")
    assert (verdict["computed"]["location_values"] == [None]) is needs_second


def test_a_second_tape_of_the_same_grade_is_no_pair() -> None:
    assert judge(tapes("C 50", "C 52"))["outcome"] == "incomplete"


def test_two_pairs_at_one_location_are_two_readings() -> None:
    verdict = judge(tapes("C 50", "XC 56", "XC 60", "C 62"), readings_min=2)

    assert verdict["computed"]["location_values"] == ["57 um"]
    assert verdict["outcome"] == "conforms"
    assert judge(tapes("C 50", "XC 56"), readings_min=2)["outcome"] == "incomplete"


def test_neighbours_outside_the_overlap_are_single_readings() -> None:
    verdict = judge(tapes("C 30", "XC 70"), readings_min=2)

    assert verdict["computed"]["location_values"] == ["50 um"]
    assert verdict["outcome"] == "conforms"


def test_the_overlap_rule_can_be_switched_off() -> None:
    """Newer instructions drop it."""
    assert judge(tapes("C 50"), overlap_rule=False)["outcome"] == "conforms"
    assert recorded(tapes("C 63", "XC 68"), overlap_rule=False) == "65.5 um"


@pytest.mark.parametrize(
    ("value", "profile"),
    [("110 um", "60 um"), ("0.11 mm", "0.06 mm"), ("4.5 mil", "2.5 mil"), ("50 um", "0 um")],
)
def test_a_film_that_is_still_included_is_subtracted(value: str, profile: str) -> None:
    """Film 50 um, in US units 2.0 mil; read second-hand."""
    reading = {"values": [value], "film_included": True}

    assert recorded(reading, min="0 um") == profile


def test_a_gauge_value_below_the_film_cannot_be_judged() -> None:
    verdict = judge({"values": ["49.9 um"], "film_included": True})

    assert verdict["outcome"] == "cannot_be_judged"


def test_a_film_with_another_method_cannot_be_judged() -> None:
    verdict = judge({"values": ["60 um"], "film_included": True}, method="stylus")

    assert verdict["outcome"] == "cannot_be_judged"


def test_a_film_that_is_not_mentioned_is_flagged() -> None:
    reading = {"values": ["90 um"], "tape_grades": ["XC"]}

    assert any(flag.startswith("profile.film:") for flag in judge(reading)["flags"])
    assert not judge(reading | {"film_included": False})["flags"]


def test_a_grade_that_is_not_recorded_is_flagged_or_refused_as_the_plan_asks() -> None:
    reading = {"values": ["50 um"], "film_included": False}

    assert any(flag.startswith("profile.overlap:") for flag in judge(reading)["flags"])
    assert judge(reading)["outcome"] == "conforms"
    assert judge(reading, overlap_rule=True)["outcome"] == "cannot_be_judged"
    assert judge(reading | {"values": ["30 um"]}, overlap_rule=True)["outcome"] == "conforms"


def test_one_grade_stands_for_all_readings() -> None:
    reading = {"values": ["90 um", "50 um"], "tape_grades": "XC", "film_included": False}

    verdict = judge(reading)

    assert verdict["outcome"] == "incomplete"
    assert not verdict["flags"]


def test_two_grades_for_three_readings_leave_the_third_without() -> None:
    reading = {"values": ["90 um", "92 um", "50 um"], "tape_grades": ["XC", "XC"]}

    verdict = judge(reading | {"film_included": False})

    assert verdict["outcome"] == "conforms"
    assert any(flag.startswith("profile.overlap:") for flag in verdict["flags"])


def test_more_grades_than_readings_cannot_be_judged() -> None:
    verdict = judge(tapes("C 30") | {"tape_grades": ["C", "XC"]})

    assert verdict["outcome"] == "cannot_be_judged"


@pytest.mark.parametrize(
    ("pair", "is_flagged"),
    [
        ("coarse_minus 12", False), ("coarse_minus 25.1", True), ("C 20", False), ("C 19.9", True),
        ("C 64.1", True), ("XC 115", False), ("XC 115.1", True), ("XC 37", True),
        ("x_coarse_plus 115.9", True), ("x_coarse_plus 116", False), ("x_coarse_plus 127.1", True),
    ],
)  # fmt: skip
def test_a_profile_outside_the_range_of_its_grade_is_flagged(pair: str, is_flagged: bool) -> None:
    """Ranges of commercial grades, read second-hand."""
    flags = judge(tapes(pair), min="1 um", max="200 um", overlap_rule=False)["flags"]

    assert any(flag.startswith("profile.tape_range:") for flag in flags) is is_flagged


@pytest.mark.parametrize("grade", ["XXC", "", 3])
def test_an_unknown_grade_is_refused(grade: object) -> None:
    with pytest.raises(InvalidValue, match=r"^readings\[0\]\.tape_grades\[0\]"):
        judge(tapes("C 30") | {"tape_grades": [grade]})
