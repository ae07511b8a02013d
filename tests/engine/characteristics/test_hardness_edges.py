"""Hardness: each finding whole, on each scale, with its limit and its source."""

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
    {
        "scale": "shore_d",
        "min": "75",
        "qualified_min": "84",
        "readings_min": 6,
        "dwell": "15 s",
        "dwell_tolerance": "1 s",
        "test_method": "astm-d2240",
        "qualified_scale": "shore_d",
        "same_cure_schedule": True,
    },
    [
        {
            "location": "north",
            "values": ["78", "80", "79", "81", "76"],
            "dwell": "15 s",
            "surface_temperature": "23 degC",
            "scale": "shore_d",
            "specimen_thickness": "6 mm",
            "edge_distance": "12 mm",
            "spacing": "6 mm",
        },
        {
            "location": "south",
            "values": ["70", "72"],
            "dwell": "17 s",
            "surface_temperature": "30 degC",
            "scale": "shore_a",
            "specimen_thickness": "5 mm",
            "edge_distance": "10 mm",
            "spacing": "5 mm",
            "reference_stated": "80",
            "reference_measured": "83",
        },
    ],
    [
        ("hardness.readings", "incomplete", "5", "at least 6", OURS + "readings_min"),
        ("hardness.scale", "cannot_be_judged", "", "", OURS + "scale"),
        ("hardness.dwell", "cannot_be_judged", "", "", OURS + "dwell"),
        ("hardness.min", "conforms", "78.8", "at least 75", OURS + "min"),
        (
            "hardness.qualified_min",
            "conforms",
            "78.8",
            "at least 75.6",
            OURS + "qualified_min; fraction 0.9: to be confirmed against the licensed text",
        ),
    ],
)
BARE: Case = (
    {
        "scale": "shore_d",
        "qualified_min": "84",
        "fraction": "0.85",
        "statistic": "each",
        "readings_min": 3,
    },
    [{"values": ["71", "71.4", "72"]}],
    [
        ("hardness.readings", "conforms", "3", "at least 3", OURS + "readings_min"),
        (
            "hardness.qualified_min",
            "does_not_conform",
            "71.0",
            "at least 71.4",
            OURS + "qualified_min",
        ),
    ],
)
OTHER: Case = (
    {
        "scale": "barcol",
        "min": "50",
        "test_method": "astm-d2583",
        "material": "reinforced",
        "statistic": "median",
    },
    [{"values": ["52", "48", "55", "47", "50", "53", "49", "51", "46", "54"]}],
    [
        (
            "hardness.readings",
            "incomplete",
            "10",
            "at least 16",
            "ASTM D2583, number of readings, to be confirmed against the licensed text",
        ),
        ("hardness.min", "conforms", "50.5", "at least 50", OURS + "min"),
    ],
)
MORE: Case = (
    {"scale": "pencil", "grade_min": "H"},
    [{"grades": ["H", "2H"]}, {"grades": ["HB"], "location": "west"}],
    [
        ("hardness.readings", "conforms", "3", "at least 1", "the plan states no number"),
        ("hardness.grade_min", "does_not_conform", "HB", "at least H", OURS + "grade_min"),
    ],
)


@pytest.mark.parametrize("case", [ALL, BARE, OTHER, MORE])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """Calculated: mean of the five on the scale 394/5 = 78.8; 0.9 x 84 = 75.6; 0.85 x 84 = 71.4."""
    criteria, readings, expected = case

    assert rows(judged("hardness", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("hardness", *ALL[:2])) == [
        "5 readings, at least 6 asked for; 1 more to take.",
        "Reading 2",
        "Reading 2",
        "Hardness, mean of 5, 78.8",
        "Hardness against 0.9 of the qualified minimum 84, mean of 5, 78.8",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("hardness", *ALL[:2])

    assert verdict["computed"] == {
        "mean": "78.8",
        "median": "79",
        "lowest": "76",
        "limit": "75.6",
    }
    assert flag_heads(verdict) == [
        "hardness.specimen_thickness: reading 2",
        "hardness.edge_distance: reading 2",
        "hardness.spacing: reading 2",
        "hardness.temperature: reading 2",
    ]


def test_a_qualification_on_another_scale_or_cure_has_the_source_of_its_minimum() -> None:
    criteria = {"scale": "shore_d", "qualified_min": "84", "qualified_scale": "barcol"}

    verdict = judged(
        "hardness", criteria | {"same_cure_schedule": False}, [{"values": ["80", "80", "80"]}]
    )

    found = [row for row in rows(verdict) if row[0] == "hardness.qualification"]
    assert (
        found
        == [("hardness.qualification", "cannot_be_judged", "", "", OURS + "qualified_min")] * 2
    )
    assert "The qualification was measured on barcol." in subjects(verdict)
