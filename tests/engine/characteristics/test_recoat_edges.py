"""The recoat window: each coat's findings whole, with limit and source."""

from typing import Any

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
    {
        "window_min": {"10 degC": "12 hour", "20 degC": "6 hour", "30 degC": "4 hour"},
        "window_max": {"10 degC": "6 day", "20 degC": "3 day", "30 degC": "2 day"},
    },
    [
        {
            "previous_end": "2026-05-12T08:00Z",
            "next_start": "2026-05-12T13:00Z",
            "temperatures": ["20 degC", "25 degC"],
            "coat": "primer",
        },
        {
            "previous_end": "2026-05-09T08:00Z",
            "next_start": "2026-05-12T13:00Z",
            "temperatures": ["20 degC"],
        },
        {
            "previous_end": "2026-05-09T08:00Z",
            "next_start": "2026-05-12T13:00Z",
            "temperatures": ["20 degC"],
            "abraded": True,
        },
        {"previous_end": "2026-05-12T08:00Z", "temperatures": ["9 degC", "31 degC"]},
        {"previous_end": "2026-05-12T08:00Z", "temperatures": ["20 degC"]},
        {
            "previous_end": "2026-05-12T08:00Z",
            "next_start": "2026-05-12T07:00Z",
            "temperatures": ["20 degC"],
        },
        {"previous_end": "2026-05-12T08:00Z", "next_start": "2026-05-12T15:00Z"},
    ],
    [
        ("recoat.earliest", "does_not_conform", "5.0 h", "at least 6 h", OURS + "window_min"),
        ("recoat.latest", "conforms", "0.2 d", "at most 2 d", OURS + "window_max"),
        ("recoat.earliest", "conforms", "77.0 h", "at least 6 h", OURS + "window_min"),
        ("recoat.latest", "does_not_conform", "3.2 d", "at most 3 d", OURS + "window_max"),
        ("recoat.earliest", "conforms", "77.0 h", "at least 6 h", OURS + "window_min"),
        ("recoat.latest", "conforms", "3.2 d", "at most 3 d", OURS + "window_max"),
        ("recoat.earliest", "cannot_be_judged", "", "", OURS + "window_min"),
        ("recoat.latest", "cannot_be_judged", "", "", OURS + "window_max"),
        ("recoat.earliest", "incomplete", "", "", OURS + "window_min"),
        ("recoat.latest", "incomplete", "", "", OURS + "window_max"),
        ("recoat.earliest", "cannot_be_judged", "", "", OURS + "window_min"),
        ("recoat.latest", "cannot_be_judged", "", "", OURS + "window_max"),
        ("recoat.earliest", "cannot_be_judged", "", "", OURS + "window_min"),
        ("recoat.latest", "cannot_be_judged", "", "", OURS + "window_max"),
    ],
)


def test_each_finding_has_its_value_its_limit_and_its_source() -> None:
    """Calculated: of 20 and 25 degC, 20 opens the window and the 30 degC row closes it."""
    criteria, readings, expected = ALL

    assert rows(judged("recoat", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("recoat", *ALL[:2])) == [
        "Time between coats, primer, 5.0 h",
        "Time between coats, primer, 0.2 d",
        "Time between coats, coat 2, 77.0 h",
        "Time between coats, coat 2, 3.2 d",
        "Time between coats, coat 3, 77.0 h",
        "Time between coats, coat 3, 3.2 d",
        "coat 4",
        "coat 4",
        "coat 5",
        "coat 5",
        "coat 6",
        "coat 6",
        "coat 7",
        "coat 7",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("recoat", *ALL[:2])

    assert verdict["computed"] == {
        "waited": ["300 min", "4620 min", "4620 min", None, None, "-60 min", "420 min"],
        "earliest": [
            "2026-05-12T14:00:00+00:00",
            "2026-05-09T14:00:00+00:00",
            "2026-05-09T14:00:00+00:00",
            None,
            "2026-05-12T14:00:00+00:00",
            "2026-05-12T14:00:00+00:00",
            None,
        ],
        "latest": [
            "2026-05-14T08:00:00+00:00",
            "2026-05-12T08:00:00+00:00",
            "2026-05-12T08:00:00+00:00",
            None,
            "2026-05-15T08:00:00+00:00",
            "2026-05-15T08:00:00+00:00",
            None,
        ],
    }
    assert flag_heads(verdict) == ["coat 3: past the recoat window, abraded"]
