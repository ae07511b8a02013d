"""Dust: each finding whole, in both forms, with its limit and its source."""

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
    {"quantity_max": 2, "size_max": 2, "readings_min": 5},
    [
        {"quantity": 3, "size": 2, "location": "north"},
        {"quantity": 1, "size": 3, "rust_grade": "D", "discoloured": True},
        {"quantity": 1},
        {"quantity": 0},
    ],
    [
        ("dust.readings", "incomplete", "4", "at least 5", OURS + "readings_min"),
        ("dust.quantity", "does_not_conform", "3", "at most 2", OURS + "quantity_max"),
        ("dust.size", "does_not_conform", "3", "at most 2", OURS + "size_max"),
        ("dust.size", "cannot_be_judged", "", "", OURS + "size_max"),
    ],
)
BARE: Case = (
    {"rule": "imo"},
    [
        {"quantity": 2, "size": 3},
        {"quantity": 1, "size": 3},
        {"quantity": 3, "size": 2, "visible": True, "location": "deck"},
        {"quantity": 1, "size": 2},
        {"quantity": 1},
        {"quantity": 0},
    ],
    [
        ("dust.readings", "conforms", "6", "at least 1", "the plan states no number"),
        (
            "dust.imo",
            "does_not_conform",
            "quantity 2, size 3, quantity 1, size 3, quantity 3, size 2, quantity 1, size 2, "
            "quantity 1, size not stated, quantity 0, size 0",
            "quantity 1 for size classes 3 to 5, no smaller dust visible",
            "IMO performance standard for protective coatings, dust, to be confirmed against the "
            "licensed text",
        ),
    ],
)
OTHER: Case = (
    {"rule": "imo", "quantity_max": 2},
    [{"quantity": 2, "size": 5}, {"quantity": 5, "size": 2, "visible": False}],
    [
        ("dust.readings", "conforms", "2", "at least 1", "the plan states no number"),
        (
            "dust.imo",
            "conforms",
            "quantity 2, size 5, quantity 5, size 2",
            "quantity 2 for size classes 3 to 5, no smaller dust visible",
            OURS + "quantity_max",
        ),
    ],
)


@pytest.mark.parametrize("case", [ALL, BARE, OTHER])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """Forms of ISO 8502-3 and of the IMO performance standard, second-hand."""
    criteria, readings, expected = case

    assert rows(judged("dust", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("dust", *ALL[:2])) == [
        "4 tests, at least 5 asked for; 1 more to take.",
        "Quantity, north, highest of 4, 3",
        "Size class, reading 2, highest of 3, 3",
        "Reading 3",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("dust", *ALL[:2])

    assert verdict["computed"] == {"highest_quantity": 3, "highest_size": 3}
    assert flag_heads(verdict) == ["dust.rust_grade: reading 2", "dust.discoloured: reading 2"]
