"""Blast air: each finding of several outlets whole, with its limit and its source."""

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
    {"duration_min": "2 min", "interval_max": "4 hour", "at_start_up": True, "readings_min": 5},
    [
        {
            "at": "2026-05-12T07:00Z",
            "occasion": "start_up",
            "duration": "2 min",
            "oil": False,
            "water": False,
            "outlet": "Pot 1",
        },
        {
            "at": "2026-05-12T12:00Z",
            "occasion": "running",
            "duration": "2 min",
            "oil": True,
            "water": True,
            "outlet": "pot 1",
        },
        {
            "at": "2026-05-12T13:00Z",
            "occasion": "running",
            "duration": "1.9 min",
            "oil": False,
            "water": False,
            "outlet": "pot  1",
        },
        {
            "at": "2026-05-12T07:30Z",
            "duration": "3 min",
            "oil": False,
            "water": False,
            "outlet": "Pot 2",
            "until": "2026-05-12T09:00Z",
        },
        {
            "at": "2026-05-12T10:00Z",
            "occasion": "running",
            "duration": "3 min",
            "oil": False,
            "water": False,
            "outlet": "Pot 2",
        },
    ],
    [
        (
            "blast_air.cloth",
            "does_not_conform",
            "oil or water on the cloth",
            "no oil or water on the cloth",
            "ASTM D4285, white cloth in the discharge, at least one minute, no oil or water",
        ),
        ("blast_air.readings", "incomplete", "4", "at least 5", OURS + "readings_min"),
        (
            "blast_air.start_up",
            "does_not_conform",
            "1 of 3 at start-up",
            "a test at each start-up",
            OURS + "at_start_up",
        ),
        ("blast_air.interval", "does_not_conform", "5.00 h", "at most 4 h", OURS + "interval_max"),
    ],
)
BARE: Case = (
    {"interval_max": "4 hour"},
    [
        {"at": "2026-05-12T07:00Z", "duration": "1 min", "oil": False, "water": False},
        {"duration": "1 min", "oil": False, "water": False},
    ],
    [
        (
            "blast_air.cloth",
            "conforms",
            "no oil or water",
            "no oil or water on the cloth",
            "ASTM D4285, white cloth in the discharge, at least one minute, no oil or water",
        ),
        ("blast_air.readings", "conforms", "2", "at least 1", "the plan states no number"),
        ("blast_air.interval", "cannot_be_judged", "", "", OURS + "interval_max"),
    ],
)
OTHER: Case = (
    {"interval_max": "4 hour"},
    [
        {"hour_meter": "10 hour", "duration": "1 min", "oil": False, "water": False},
        {"hour_meter": "14.5 hour", "duration": "1 min", "oil": False, "water": False},
    ],
    [
        (
            "blast_air.cloth",
            "conforms",
            "no oil or water",
            "no oil or water on the cloth",
            "ASTM D4285, white cloth in the discharge, at least one minute, no oil or water",
        ),
        ("blast_air.readings", "conforms", "2", "at least 1", "the plan states no number"),
        ("blast_air.interval", "does_not_conform", "4.50 h", "at most 4 h", OURS + "interval_max"),
    ],
)


@pytest.mark.parametrize("case", [ALL, BARE, OTHER])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """Calculated: 07:00 to 12:00 is 5 h; 10 to 14.5 h on the meter are 4.5 h."""
    criteria, readings, expected = case

    assert rows(judged("blast_air", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("blast_air", *ALL[:2])) == [
        "Reading 2",
        "4 full tests, at least 5 asked for; 1 more to take.",
        "Reading 5",
        "Operating time between tests, after reading 1, highest of 2, 5.00 h",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("blast_air", *ALL[:2])

    assert verdict["computed"] == {"longest_run": "5 hour"}
    assert flag_heads(verdict) == ["blast_air.duration: reading 3"]
