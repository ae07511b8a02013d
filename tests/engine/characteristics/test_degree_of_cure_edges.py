"""Degree of cure: each sample's findings whole, with limit and source."""

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
        "degree_min": "95 %",
        "total_enthalpy": "400 J/g",
        "glass_transition_min": "80 degC",
        "readings_min": 4,
    },
    [
        {"residual_enthalpy": "20 J/g", "glass_transition": "80 degC", "sample": "S1"},
        {"residual_enthalpy": "20.4 J/g", "glass_transition": "79.9 degC"},
        {"total_enthalpy": "10 J/g", "residual_enthalpy": "11 J/g"},
    ],
    [
        ("degree_of_cure.readings", "incomplete", "3", "at least 4", OURS + "readings_min"),
        ("degree_of_cure.degree", "conforms", "95.00 %", "at least 95 %", OURS + "degree_min"),
        (
            "degree_of_cure.glass_transition",
            "conforms",
            "80.0 °C",
            "at least 80 °C",
            OURS + "glass_transition_min",
        ),
        (
            "degree_of_cure.degree",
            "does_not_conform",
            "94.90 %",
            "at least 95 %",
            OURS + "degree_min",
        ),
        (
            "degree_of_cure.glass_transition",
            "does_not_conform",
            "79.9 °C",
            "at least 80 °C",
            OURS + "glass_transition_min",
        ),
        ("degree_of_cure.degree", "cannot_be_judged", "", "", OURS + "degree_min"),
        (
            "degree_of_cure.glass_transition",
            "cannot_be_judged",
            "",
            "",
            OURS + "glass_transition_min",
        ),
    ],
)
BARE: Case = (
    {},
    [{"residual_enthalpy": "20 J/g", "total_enthalpy": "400 J/g"}],
    [
        (
            "degree_of_cure.readings",
            "conforms",
            "1",
            "at least 1",
            "as given in the criteria; source not stated",
        ),
        ("degree_of_cure", "cannot_be_judged", "", "", ""),
    ],
)
OTHER: Case = (
    {"design_temperature": "60 degC", "glass_transition_margin_min": "20 delta_degC"},
    [{"glass_transition": "80 degC"}, {"glass_transition": "79 degC"}, {}],
    [
        (
            "degree_of_cure.readings",
            "conforms",
            "3",
            "at least 1",
            "as given in the criteria; source not stated",
        ),
        (
            "degree_of_cure.glass_transition_margin",
            "conforms",
            "20.0 °C",
            "at least 20 °C",
            OURS + "glass_transition_margin_min",
        ),
        (
            "degree_of_cure.glass_transition_margin",
            "does_not_conform",
            "19.0 °C",
            "at least 20 °C",
            OURS + "glass_transition_margin_min",
        ),
        (
            "degree_of_cure.glass_transition_margin",
            "cannot_be_judged",
            "",
            "",
            OURS + "glass_transition_margin_min",
        ),
    ],
)


@pytest.mark.parametrize("case", [ALL, BARE, OTHER])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """Calculated: 1 - 20/400 is 95 %, 1 - 20.4/400 is 94.9 %."""
    criteria, readings, expected = case

    assert rows(judged("degree_of_cure", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("degree_of_cure", *ALL[:2])) == [
        "3 samples, at least 4 asked for; 1 more to take.",
        "Degree of cure, S1, 95.00 %",
        "Glass transition, S1, 80.0 °C",
        "Degree of cure, sample 2, 94.90 %",
        "Glass transition, sample 2, 79.9 °C",
        "sample 3",
        "sample 3",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("degree_of_cure", *ALL[:2])

    assert verdict["computed"] == {"degree": ["95 %", "94.9 %", None]}
    assert flag_heads(verdict) == []
