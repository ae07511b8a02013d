"""Salts: each finding whole, by conductivity and by chloride, with limit and source."""

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
        "max": "50 mg/m2",
        "basis": "mixed",
        "volume": "15 ml",
        "patch_area": "1250 mm2",
        "conductivity_max": "10 uS/cm",
        "blank_max": "5 uS/cm",
        "contact_min": "10 min",
        "pump_cycles_min": 4,
        "readings_min": 5,
    },
    [
        {
            "location": "north",
            "blank": "2 uS/cm",
            "conductivity": "10 uS/cm",
            "contact": "10 min",
            "pump_cycles": 4,
            "at_weld": True,
        },
        {
            "blank": "6 uS/cm",
            "conductivity": "16 uS/cm",
            "contact": "9 min",
            "pump_cycles": 3,
            "at_weld": False,
        },
        {"blank": "2 uS/cm", "conductivity": "1 uS/cm"},
        {"blank": "2 uS/cm", "conductivity": "5 uS/cm", "solution_lost": True, "location": "east"},
        {"conductivity": "5 uS/cm"},
    ],
    [
        ("salts.data", "cannot_be_judged", "", "", ""),
        ("salts.data", "cannot_be_judged", "", "", ""),
        ("salts.density.readings", "incomplete", "1", "at least 5", OURS + "readings_min"),
        (
            "salts.density.max",
            "conforms",
            "48.0 mg/m²",
            "at most 50 mg/m²",
            OURS + "max; constant 5: ISO 8502-9, mixed salts, to be confirmed against the "
            "licensed text; agrees with the 1.2 mg/m2 for each uS/cm published for 3 ml on 1250 "
            "mm2",
        ),
        ("salts.rise.readings", "incomplete", "1", "at least 5", OURS + "readings_min"),
        ("salts.rise.max", "conforms", "8.0 µS/cm", "at most 10 µS/cm", OURS + "conductivity_max"),
    ],
)
BARE: Case = (
    {"chloride_max": "20 mg/m2", "statistic": "mean", "area": "150 m2"},
    [{"chloride": "19 mg/m2"}, {"chloride": "22 mg/m2"}, {"location": "x"}],
    [
        ("salts.data", "cannot_be_judged", "", "", ""),
        (
            "salts.chloride.readings",
            "incomplete",
            "2",
            "at least 4",
            "UFGS 09970 to 09973, number of tests by area, read second-hand",
        ),
        (
            "salts.chloride.max",
            "does_not_conform",
            "20.5 mg/m²",
            "at most 20 mg/m²",
            OURS + "chloride_max",
        ),
    ],
)
OTHER: Case = (
    {"max": "50 mg/m2", "basis": "nacl", "statistic": "mean"},
    [
        {
            "blank": "2 uS/cm",
            "conductivity": "10 uS/cm",
            "volume": "3 ml",
            "patch_area": "1250 mm2",
        },
        {"blank": "2 uS/cm", "conductivity": "10 uS/cm"},
    ],
    [
        ("salts.data", "cannot_be_judged", "", "", ""),
        ("salts.density.readings", "conforms", "1", "at least 1", "the plan states no number"),
        (
            "salts.density.max",
            "conforms",
            "8.9 mg/m²",
            "at most 50 mg/m²",
            OURS + "max; constant 4.624: calculated from molar mass and limiting conductivity of "
            "sodium chloride; agrees with the 1.1 mg/m2 for each uS/cm published for 3 ml on "
            "1250 mm2",
        ),
    ],
)


@pytest.mark.parametrize("case", [ALL, BARE, OTHER])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """Calculated, ISO 8502-9: 5 x 15 x 100 / 1250 = 6 mg/m2 for each uS/cm; 8 make 48."""
    criteria, readings, expected = case

    assert rows(judged("salts", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("salts", *ALL[:2])) == [
        "Reading 3",
        "Reading 5",
        "1 valid test, at least 5 asked for; 4 more to take. Void",
        "Soluble salts as mixed salts, reading 1, 48.0 mg/m²",
        "1 valid test, at least 5 asked for; 4 more to take. Void",
        "Rise in conductivity, reading 1, 8.0 µS/cm",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("salts", *ALL[:2])

    assert verdict["computed"] == {
        "density": ["48 mg/m2", "60 mg/m2", None, "18 mg/m2", None],
        "rise": ["8 uS/cm", "10 uS/cm", None, "3 uS/cm", None],
        "factor": ["6 mg/m2", "6 mg/m2", "6 mg/m2", "6 mg/m2", "6 mg/m2"],
        "rise_at_limit": [
            "8.333333 uS/cm",
            "8.333333 uS/cm",
            "8.333333 uS/cm",
            "8.333333 uS/cm",
            "8.333333 uS/cm",
        ],
        "mean": "48 mg/m2",
        "highest": "48 mg/m2",
    }
    assert flag_heads(verdict) == [
        "salts.precision: reading 1",
        "salts.void: reading 2",
        "salts.void: reading 4",
    ]
