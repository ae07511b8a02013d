"""Comparator: grades, segments, and grades derived from figures."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

MEDIUM = {"method": "comparator", "grade": "medium", "comparator": "G"}


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "profile", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


@pytest.mark.parametrize(
    ("segment", "grade"),
    [
        (0, "finer_than_fine"),
        (1, "fine"),
        (2, "medium"),
        (3, "coarse"),
        (4, "coarser_than_coarse"),
    ],
)
def test_the_segment_that_is_reached_names_the_grade(segment: int, grade: str) -> None:
    """ISO 8503-2: a grade begins with its segment and ends before the next."""
    verdict = judge(MEDIUM, {"segment": segment})

    assert verdict["computed"]["grades"] == [grade]
    assert verdict["outcome"] == ("conforms" if grade == "medium" else "does_not_conform")


def test_a_grade_may_be_named_instead_of_a_segment() -> None:
    assert judge(MEDIUM, {"grade": "medium"})["outcome"] == "conforms"
    assert judge(MEDIUM, {"grade": "fine"})["outcome"] == "does_not_conform"


def test_every_location_must_have_the_grade() -> None:
    readings = [{"location": "A", "segment": 2}, {"location": "B", "segment": 3}]

    verdict = judge(MEDIUM, *readings)

    assert verdict["outcome"] == "does_not_conform"
    (found,) = [f for f in verdict["findings"] if f["rule"] == "profile.grade"]
    assert found["statement"] == "Grade by comparator: B: not medium."


@pytest.mark.parametrize(
    ("comparator", "value", "grade"),
    [
        ("grit", 24, "finer_than_fine"), ("grit", 25, "fine"), ("grit", 59, "fine"),
        ("grit", 60, "medium"), ("grit", 99, "medium"), ("grit", 100, "coarse"),
        ("grit", 149, "coarse"), ("grit", 150, "coarser_than_coarse"),
        ("shot", 25, "fine"), ("shot", 40, "medium"), ("shot", 70, "coarse"),
        ("shot", 100, "coarser_than_coarse"), ("shot", "39.9", "fine"),
    ],
)  # fmt: skip
def test_a_figure_has_the_grade_of_the_nominal_values(
    comparator: str, value: object, grade: str
) -> None:
    """Nominal values of ISO 8503-1, read second-hand; grades calculated."""
    criteria = MEDIUM | {"comparator": comparator}

    verdict = judge(criteria, {"values": [f"{value} um"]})

    assert verdict["computed"]["grades"] == [grade]
    assert any("derived from figures" in flag for flag in verdict["flags"])
    on_segment_4 = str(value) == {"grit": "150", "shot": "100"}[comparator]
    assert any("exactly the figure" in flag for flag in verdict["flags"]) is on_segment_4


@pytest.mark.parametrize(
    ("segment", "outcome"),
    [(1, "does_not_conform"), (2, "conforms"), (3, "conforms"), (4, "does_not_conform")],
)
def test_segments_may_be_limited_on_both_sides(segment: int, outcome: str) -> None:
    criteria = {"segment_min": 2, "segment_max": 3}

    assert judge(criteria, {"segment": segment})["outcome"] == outcome


@pytest.mark.parametrize(
    "reading",
    [
        {"segment": 2, "grade": "fine"},
        {"segment": 2, "comparator": "shot"},
        {"segment": 2, "preparation_grade": "other"},
        {"location": "A"},
    ],
)
def test_what_contradicts_itself_or_the_plan_cannot_be_judged(reading: dict[str, Any]) -> None:
    """ISO 8503-2 holds for Sa 2 1/2 and Sa 3 only."""
    assert judge(MEDIUM, reading)["outcome"] == "cannot_be_judged"


@pytest.mark.parametrize("grade", ["Sa 2 1/2", "Sa 2½", "Sa 3"])
def test_a_comparator_holds_on_the_two_highest_grades(grade: str) -> None:
    assert judge(MEDIUM, {"segment": 2, "preparation_grade": grade})["outcome"] == "conforms"


@pytest.mark.parametrize("segment", [-1, 5, "2.5"])
def test_a_segment_that_no_comparator_has_is_refused(segment: object) -> None:
    with pytest.raises(InvalidValue, match=r"^readings\[0\]\.segment"):
        judge(MEDIUM, {"segment": segment})


def test_a_segment_is_shown_as_a_whole_number() -> None:
    verdict = judge({"segment_min": 2}, {"segment": 1})

    (found,) = [f for f in verdict["findings"] if f["rule"] == "profile.segment_min"]
    assert (found["observed"], found["limit"]) == ("1", "at least 2")


def test_a_grade_that_was_seen_is_not_flagged_as_derived() -> None:
    assert not judge(MEDIUM, {"segment": 2, "values": ["80 um"]})["flags"]


def test_two_grades_at_one_location_cannot_be_judged() -> None:
    readings = [{"location": "A", "segment": 2}, {"location": "A", "segment": 3}]

    assert judge(MEDIUM, *readings)["outcome"] == "cannot_be_judged"


def test_a_location_without_a_grade_cannot_be_judged() -> None:
    criteria = {"method": "comparator", "grade": "medium"}

    assert judge(criteria, {"segment": 2}, {"values": ["60 um"]})["outcome"] == "cannot_be_judged"


def test_a_grade_is_no_figure_for_min_and_max() -> None:
    assert judge({"min": "50 um"}, {"grade": "medium"})["outcome"] == "cannot_be_judged"
