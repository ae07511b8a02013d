"""Cure: each finding whole, by table and by age, with its limit and its source."""

from typing import Any

import pytest

from qc.engine.fields import InvalidValue
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
        "table": {"10 degC": "24 hour", "20 degC": "12 hour"},
        "gap_max": "120 min",
        "temperature_min": "12 degC",
        "temperature_max": "30 degC",
    },
    [
        {"at": "2026-05-12T06:00Z", "temperature": "10 degC"},
        {"at": "2026-05-12T08:00Z", "temperature": "20 degC"},
        {"at": "2026-05-12T11:00Z", "temperature": "31 degC"},
    ],
    [
        ("cure.fraction", "incomplete", "0.083", "at least 1", OURS + "table"),
        ("cure.gap", "cannot_be_judged", "", "", OURS + "gap_max"),
        (
            "cure.temperature_min",
            "does_not_conform",
            "10.0 °C",
            "at least 12 °C",
            OURS + "temperature_min",
        ),
        (
            "cure.temperature_max",
            "does_not_conform",
            "31.0 °C",
            "at most 30 °C",
            OURS + "temperature_max",
        ),
    ],
)
BARE: Case = (
    {
        "mode": "equivalent_age",
        "activation_temperature": "5000 K",
        "reference": "20 degC",
        "age_min": "5 hour",
    },
    [
        {"at": "2026-05-12T06:00Z", "temperature": "20 degC"},
        {"at": "2026-05-12T10:00Z", "temperature": "20 degC"},
    ],
    [("cure.equivalent_age", "incomplete", "4.000 h", "at least 5 h", OURS + "age_min")],
)
OTHER: Case = (
    {"mode": "maturity", "datum": "0 degC", "reference": "20 degC", "age_min": "81 degC_hour"},
    [
        {"at": "2026-05-12T06:00Z", "temperature": "10 degC"},
        {"at": "2026-05-12T14:00Z", "temperature": "10 degC"},
    ],
    [("cure.maturity", "incomplete", "80.000 °C·h", "at least 81 °C·h", OURS + "age_min")],
)


@pytest.mark.parametrize("case", [ALL, BARE, OTHER])
def test_each_finding_has_its_value_its_limit_and_its_source(case: Case) -> None:
    """Calculated: 2 h at 10 of 24 h are 0.083; 8 h at 10 degC over 0 are 80 degC h."""
    criteria, readings, expected = case

    assert rows(judged("cure", criteria, readings)) == expected


def test_each_statement_names_what_it_is_about() -> None:
    assert subjects(judged("cure", *ALL[:2])) == [
        "Fraction of the cure time 0.083",
        "No reading for 3.00 h after 2026-05-12 08",
        "Temperature during cure, at 2026-05-12 06",
        "Temperature during cure, at 2026-05-12 11",
    ]


def test_what_is_computed_and_flagged() -> None:
    verdict = judged("cure", *ALL[:2])

    assert verdict["computed"] == {
        "fraction": "0.083333",
        "equivalent_age": None,
        "maturity": None,
        "complete_at": None,
        "forecast_at": None,
    }
    assert flag_heads(verdict) == []


@pytest.mark.parametrize(
    ("mode", "age", "unit"),
    [
        ({"mode": "maturity", "datum": "0 degC"}, "4 hour", "degC_hour"),
        (
            {"mode": "equivalent_age", "activation_temperature": "5000 K", "reference": "20 degC"},
            "81 degC_hour",
            "hour",
        ),
    ],
)
def test_an_age_of_another_kind_is_refused_with_a_unit_that_would_do(
    mode: dict[str, Any], age: str, unit: str
) -> None:
    with pytest.raises(InvalidValue, match=rf"^criteria\.age_min: .* in a unit such as {unit}$"):
        judged("cure", mode | {"age_min": age}, [])
