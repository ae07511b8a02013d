"""Solvent rubs: each place's findings whole, with limit and source."""

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
    {"rating_min": 4, "rubs_min": 50, "control_panel": True, "readings_min": 4},
    [
        {"rubs": 50, "rating": 4, "control_rating": 5},
        {"rubs": 49, "rating": 3, "location": "north"},
        {"rubs": 10, "rating": 0, "penetrated": False},
    ],
    [
        ("solvent_rub.readings", "incomplete", "3", "at least 4", OURS + "readings_min"),
        ("solvent_rub.rating", "conforms", "4", "at least 4", OURS + "rating_min"),
        ("solvent_rub.control", "does_not_conform", "4", "at least 5", OURS + "control_panel"),
        ("solvent_rub.rubs", "incomplete", "49", "at least 50", OURS + "rubs_min"),
        ("solvent_rub.rating", "does_not_conform", "3", "at least 4", OURS + "rating_min"),
        ("solvent_rub.control", "cannot_be_judged", "", "", OURS + "control_panel"),
        ("solvent_rub.rating", "cannot_be_judged", "", "", ""),
    ],
)
BARE: Case = (
    {},
    [{"rubs": 24, "rating": 5}, {"rubs": 25, "rating": 5}],
    [
        (
            "solvent_rub.readings",
            "conforms",
            "2",
            "at least 1",
            "as given in the criteria; source not stated",
        ),
        (
            "solvent_rub.rubs",
            "incomplete",
            "24",
            "at least 50",
            "ASTM D4752, rating scale and number of double rubs; to be confirmed against the "
            "licensed text",
        ),
        ("solvent_rub.rating", "cannot_be_judged", "", "", ""),
        (
            "solvent_rub.rubs",
            "incomplete",
            "25",
            "at least 50",
            "ASTM D4752, rating scale and number of double rubs; to be confirmed against the "
            "licensed text",
        ),
        ("solvent_rub.rating", "cannot_be_judged", "", "", ""),
    ],
)


@pytest.mark.parametrize("case", [ALL, BARE])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """Double rubs where the plan states none: ASTM D4752, to be confirmed."""
    criteria, readings, expected = case

    assert rows(judged("solvent_rub", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("solvent_rub", *ALL[:2])) == [
        "3 places, at least 4 asked for; 1 more to take.",
        "Rating, place 1, 4",
        "Rating beside the control panel, place 1, 4",
        "north",
        "Rating, north, 3",
        "north",
        "place 3",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("solvent_rub", *ALL[:2])

    assert verdict["computed"] == {"lowest": 0}
    assert flag_heads(verdict) == []
