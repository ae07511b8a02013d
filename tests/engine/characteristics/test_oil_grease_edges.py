"""Oil and grease: each place's findings whole, with limit and source."""

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
    {"methods_min": 2, "methods": ["visual", "black_light", "cloth"]},
    [
        {"method": "visual", "contaminated": False, "location": "North"},
        {
            "method": "black_light",
            "contaminated": False,
            "location": "north",
            "fluorescence_proven": True,
            "distance": "382 mm",
        },
        {"method": "cloth", "contaminated": True, "location": "south"},
        {"method": "visual", "contaminated": False, "location": "south"},
        {
            "method": "black_light",
            "contaminated": False,
            "location": "south",
            "fluorescence_proven": True,
        },
    ],
    [
        (
            "oil_grease.evidence",
            "does_not_conform",
            "oil or grease found",
            "no evidence of oil or grease",
            "UFGS 09970 to 09973, oil and grease: at least two methods, any evidence rejects",
        ),
        ("oil_grease.methods", "incomplete", "1", "at least 2", OURS + "methods_min"),
        ("oil_grease.methods", "conforms", "3", "at least 2", OURS + "methods_min"),
        ("oil_grease.asked", "incomplete", "", "", OURS + "methods"),
    ],
)
BARE: Case = (
    {},
    [
        {
            "method": "black_light",
            "contaminated": False,
            "fluorescence_proven": True,
            "distance": "381 mm",
        }
    ],
    [
        (
            "oil_grease.evidence",
            "conforms",
            "none found",
            "no evidence of oil or grease",
            "UFGS 09970 to 09973, oil and grease: at least two methods, any evidence rejects",
        ),
        (
            "oil_grease.methods",
            "incomplete",
            "1",
            "at least 2",
            "UFGS 09970 to 09973, oil and grease: at least two methods, any evidence rejects",
        ),
    ],
)
OTHER: Case = (
    {"methods_min": 1},
    [
        {
            "method": "black_light",
            "contaminated": False,
            "fluorescence_proven": True,
            "distance": "381 mm",
            "dark": False,
        }
    ],
    [
        (
            "oil_grease.evidence",
            "conforms",
            "none found",
            "no evidence of oil or grease",
            "UFGS 09970 to 09973, oil and grease: at least two methods, any evidence rejects",
        ),
        ("oil_grease.methods", "incomplete", "0", "at least 1", OURS + "methods_min"),
    ],
)


@pytest.mark.parametrize("case", [ALL, BARE, OTHER])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """UFGS 09970 to 09973, read: at least two methods; black light within 15 in (381 mm)."""
    criteria, readings, expected = case

    assert rows(judged("oil_grease", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("oil_grease", *ALL[:2])) == [
        "South",
        "1 method at north, at least 2 asked for; 1 more to take.",
        "3 methods at south, at least 2 asked for.",
        "Not done at north, or done in a way that does not count",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("oil_grease", *ALL[:2])

    assert verdict["computed"] == {"methods": 1}
    assert flag_heads(verdict) == [
        "oil_grease.black_light: reading 2",
        "oil_grease.black_light: reading 5",
    ]
