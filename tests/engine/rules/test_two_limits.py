"""The probability of conformity where a quantity has a limit on either side."""

import math
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from qc.engine.case import judge_case
from qc.engine.formulas.statistics import conformity_probability
from qc.engine.quantities import Quantity
from qc.engine.rules import Bound, Limit

STATED = {"probability": True}


def flags(key: str, criteria: dict[str, Any], *readings: dict[str, Any]) -> list[str]:
    case = {"characteristic": key, "criteria": criteria | STATED, "readings": list(readings)}
    return [flag for flag in judge_case(case)["flags"] if "probability" in flag]


@pytest.mark.parametrize(
    ("observed", "chance"),
    [("10.8", 0.97725), ("10.9", 0.84134), ("11.0", 0.5), ("10", 1.0), ("9.2", 0.97725)],
)
def test_ten_plus_or_minus_one(observed: str, chance: float) -> None:
    """Form of JCGM 106, calculated: 10 +/- 1 with u = 0.1."""
    value = Fraction(observed)

    found = conformity_probability(value - 9, Fraction("0.2"), 11 - value)

    assert abs(found - chance) < 5e-6


def test_the_far_limit_matters_where_the_uncertainty_is_wide() -> None:
    """Calculated: 10 +/- 1 with u = 1 at 10 is Phi(1) - Phi(-1) = 0.683, and not 0.841."""
    found = conformity_probability(Fraction(1), Fraction(2), Fraction(1))

    assert round(found, 3) == 0.683
    assert round(conformity_probability(Fraction(1), Fraction(2)), 3) == 0.841


def test_without_an_uncertainty_both_limits_decide() -> None:
    nothing = Fraction(0)

    assert conformity_probability(nothing, nothing, nothing) == 1
    assert conformity_probability(nothing, nothing, Fraction(-1, 10**9)) == 0
    assert conformity_probability(Fraction(-1, 10**9), nothing, nothing) == 0


@given(st.fractions(-50, 50), st.fractions(0, 50), st.fractions("0.1", 20))
def test_it_is_the_area_of_the_normal_distribution_between_the_limits(
    inside: Fraction, width: Fraction, uncertainty: Fraction
) -> None:
    u = float(uncertainty / 2)
    lower, upper = -float(inside), float(width - inside)
    expected = norm.cdf(upper / u) - norm.cdf(lower / u)

    found = conformity_probability(inside, uncertainty, width - inside)

    assert math.isclose(found, expected, abs_tol=1e-12)
    assert found <= conformity_probability(inside, uncertainty) + 1e-15


def test_both_limits_state_the_same_probability_in_any_unit() -> None:
    lower = Limit(
        rule="low",
        label="Film",
        value=Quantity(Decimal(8), "mil"),
        bound=Bound.AT_LEAST,
        uncertainty=Decimal(1),
        probability=True,
        opposite=Quantity(Decimal("228.6"), "um"),
    )
    upper = Limit(
        rule="high",
        label="Film",
        value=Quantity(Decimal("228.6"), "um"),
        bound=Bound.AT_MOST,
        uncertainty=Decimal("25.4"),
        probability=True,
        opposite=Quantity(Decimal(8), "mil"),
    )
    value = Quantity(Decimal("8.5"), "mil")

    (low,), (high,) = (
        [flag for flag in each.judge(value).flags if "probability" in flag]
        for each in (lower, upper)
    )

    assert low == "low: probability of conformity 0.683, the other limit being 9 mil"
    assert high == "high: probability of conformity 0.683, the other limit being 203.2 µm"


@pytest.mark.parametrize(
    ("key", "criteria", "reading", "expected"),
    [
        (
            "thickness",
            {
                "rule": "minimum",
                "min": "300 um",
                "max": "320 um",
                "expanded_uncertainty": "20 um",
            },
            {"values": "310 um"},
            [
                "thickness.minimum.min: probability of conformity 0.683, "
                "the other limit being 320 µm",
                "thickness.minimum.max: probability of conformity 0.683, "
                "the other limit being 300 µm",
            ],
        ),
        (
            "profile",
            {"min": "50 um", "max": "60 um", "expanded_uncertainty": "10 um"},
            {"values": ["55 um"]},
            [
                "profile.min: probability of conformity 0.683, the other limit being 60 µm",
                "profile.max: probability of conformity 0.683, the other limit being 50 µm",
            ],
        ),
        (
            "mixing",
            {
                "ratio": "1",
                "ratio_basis": "weight",
                "ratio_tolerance": "5 %",
                "expanded_uncertainty": "10 %",
            },
            {"part_a": "100 g", "part_b": "100 g"},
            ["mixing.ratio: probability of conformity 0.683, the other limit being -5 %"],
        ),
        (
            "recoat",
            {
                "window_min": {"20 degC": "1 hour"},
                "window_max": {"20 degC": "80 min"},
                "expanded_uncertainty": "20 min",
            },
            {
                "previous_end": "2026-05-12T09:00Z",
                "next_start": "2026-05-12T10:10Z",
                "temperatures": "20 degC",
            },
            [
                "recoat.earliest: probability of conformity 0.683, "
                "the other limit being 1.333333 h",
                "recoat.latest: probability of conformity 0.683, the other limit being 60 min",
            ],
        ),
        (
            "hardness",
            {"scale": "shore_d", "min": "72", "expanded_uncertainty": "3"},
            {"values": ["74"]},
            ["hardness.min: probability of conformity 0.909"],
        ),
    ],
)
def test_it_is_stated_between_the_two_limits_of_one_quantity(
    key: str, criteria: dict[str, Any], reading: dict[str, Any], expected: list[str]
) -> None:
    """Calculated: half a width of u on either side is Phi(1) - Phi(-1) = 0.683."""
    assert flags(key, criteria, reading) == expected


@pytest.mark.parametrize(
    ("level", "rule", "other"),
    [
        (1, "spot_min", "12 mil"),
        (2, "spot_min", "14.4 mil"),
        (3, "spot_min", "14.4 mil"),
        (3, "spot_max", "6.4 mil"),
        (3, "area_min", "12 mil"),
        (4, "spot_min", "18 mil"),
        (5, "spot_min", None),
        (5, "area_min", None),
    ],
)
def test_of_a_spot_or_an_area_it_lies_between_the_limits_of_its_level(
    level: int, rule: str, other: str | None
) -> None:
    """SSPC-PA 2, 8 to 12 mil: level 3 as published, the others from memory."""
    criteria = {
        "rule": "pa2",
        "min": "8 mil",
        "max": "12 mil",
        "level": level,
        "expanded_uncertainty": "1 mil",
    }

    (found,) = [
        flag
        for flag in flags("thickness", criteria, *[{"values": ["10 mil"] * 3}] * 5)
        if flag.startswith(f"thickness.pa2.{rule}:")
    ]

    assert found.partition(", the other limit being ")[2] == (other or "")


def test_a_nominal_for_the_mean_has_no_other_side_in_a_maximum_of_single_readings() -> None:
    criteria = {
        "rule": "iso19840",
        "nominal": "300 um",
        "max": "320 um",
        "expanded_uncertainty": "20 um",
    }

    found = flags("thickness", criteria, {"values": ["310 um"]})

    assert not any("other limit" in flag for flag in found)
