"""Moisture: each finding whole, with its source."""

from typing import Any

import pytest

from tests.engine.characteristics.whole_verdicts import (
    OURS,
    Row,
    flag_heads,
    judged,
    rows,
    subjects,
)

Case = tuple[dict[str, Any], list[dict[str, Any]], list[Row]]
"""Criteria, readings, and the findings that they make."""

ALL: Case = (
    {"methods": ["cloth", "sheet"], "readings_min": 3},
    [
        {"method": "cloth", "moist": False, "location": "north"},
        {"method": "visual", "moist": True},
        {"method": "other", "moist": False},
        {"method": "other", "moist": False, "remark": "meter"},
        {"method": "sheet", "moist": False},
    ],
    [
        (
            "moisture.found",
            "does_not_conform",
            "moist",
            "dry",
            "IMO guideline on coating work, 3.3: not where the steel is or may be wet",
        ),
        ("moisture.readings", "incomplete", "2", "at least 3", OURS + "readings_min"),
        ("moisture.method", "incomplete", "", "", ""),
    ],
)
BARE: Case = (
    {},
    [{"method": "visual", "moist": False}],
    [
        (
            "moisture.found",
            "conforms",
            "dry",
            "dry",
            "IMO guideline on coating work, 3.3: not where the steel is or may be wet",
        ),
        ("moisture.readings", "conforms", "1", "at least 1", "the plan states no number"),
    ],
)


@pytest.mark.parametrize("case", [ALL, BARE])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """IMO guideline on coating work, 3.3, as read."""
    criteria, readings, expected = case

    assert rows(judged("moisture", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("moisture", *ALL[:2])) == [
        "Reading 2",
        "2 readings, at least 3 asked for; 1 more to take.",
        "Reading 3",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("moisture", *ALL[:2])

    assert verdict["computed"] == {"moist": 1}
    assert flag_heads(verdict) == ["moisture.method: reading 2, 3, 4"]
