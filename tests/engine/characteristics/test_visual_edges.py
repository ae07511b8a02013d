"""Visual: each item's findings whole, with limit and source."""

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
        "items": [
            {"item": "cracks", "asked": "none", "source": "clause a"},
            {"item": "undercut", "max": "0.5 mm", "source": "clause b"},
            {"item": "weld", "min": "3 mm", "max": "6 mm"},
        ]
    },
    [
        {"item": "cracks", "accepted": True},
        {"item": "undercut", "accepted": True, "value": "0.6 mm"},
        {"item": "weld", "accepted": False, "remark": "pores", "value": "2.9 mm"},
        {"item": "weld", "accepted": True},
    ],
    [
        ("visual.item", "conforms", "accepted", "none", "clause a"),
        ("visual.item", "conforms", "0.6 mm", "accepted", "clause b"),
        ("visual.dimension", "does_not_conform", "0.6 mm", "at most 0.5 mm", "clause b"),
        ("visual.item", "does_not_conform", "2.9 mm", "accepted", OURS + "items"),
        ("visual.dimension", "does_not_conform", "2.9 mm", "at least 3 mm", OURS + "items"),
        ("visual.dimension", "conforms", "2.9 mm", "at most 6 mm", OURS + "items"),
    ],
)


def test_each_finding_has_its_value_its_limit_and_its_source() -> None:
    """Compared by hand with the limits of the plan."""
    criteria, readings, expected = ALL

    assert rows(judged("visual", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("visual", *ALL[:2])) == [
        "cracks",
        "undercut",
        "undercut 0.6 mm",
        "weld",
        "weld 2.9 mm",
        "weld 2.9 mm",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("visual", *ALL[:2])

    assert verdict["computed"] == {"accepted": 1, "rejected": 2, "open": 0}
    assert flag_heads(verdict) == []


def test_a_rejection_without_a_measure_reads_as_one() -> None:
    criteria = {"items": [{"item": "cracks", "asked": "none"}]}

    verdict = judged(
        "visual", criteria, [{"item": "cracks", "accepted": False, "remark": "near the weld"}]
    )

    assert rows(verdict) == [
        ("visual.item", "does_not_conform", "rejected", "none", OURS + "items")
    ]


def test_without_a_checklist_nothing_is_judged() -> None:
    verdict = judged("visual", {}, [{"item": "cracks", "accepted": True}])

    assert rows(verdict) == [("visual.items", "cannot_be_judged", "", "", "")]
