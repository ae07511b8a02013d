"""Hardness against a minimum or a share of the qualified minimum, by mean, median or each."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from qc.engine.rules import Outcome

few = settings(max_examples=60)
WORST_FIRST = list(Outcome)
SHORE = {"scale": "Shore D"}
SITE = ("78", "80", "79", "81", "76")
"""Calculated example: mean 78.8, median 79, lowest 76."""

BARCOL = ("52", "48", "55", "47", "50", "53", "49", "51", "46", "54")
"""Calculated example: mean 50.5; four of them below 49.5."""

figures = st.lists(st.decimals(20, 90, places=1), min_size=1, max_size=10)
statistics = st.sampled_from(["mean", "median", "each"])


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "hardness", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


def of(*values: object, **more: Any) -> dict[str, Any]:
    return {"values": [str(value) for value in values], **more}


def finding(verdict: dict[str, Any], rule: str) -> dict[str, str]:
    (found,) = [each for each in verdict["findings"] if each["rule"] == rule]
    return dict(found)


def rank(verdict: dict[str, Any]) -> int:
    """Larger is better."""
    return WORST_FIRST.index(verdict["outcome"])


@pytest.mark.parametrize(
    ("qualified", "limit", "mean", "median", "each"),
    [
        ("84", "75.6", True, True, True),
        ("87.6", "78.84", False, True, False),
        ("88", "79.2", False, False, False),
    ],
)
def test_the_statistic_decides_against_nine_tenths_of_the_qualified_minimum(
    qualified: str, limit: str, mean: bool, median: bool, each: bool
) -> None:
    """Cure by hardness as ISO 24817 has it, from memory; vectors calculated."""
    for statistic, conforms in (("mean", mean), ("median", median), ("each", each)):
        criteria = SHORE | {"qualified_min": qualified, "statistic": statistic}

        verdict = judge(criteria, of(*SITE))

        assert verdict["outcome"] == ("conforms" if conforms else "does_not_conform"), statistic
        assert verdict["computed"] == {
            "mean": "78.8", "median": "79", "lowest": "76", "limit": limit,
        }  # fmt: skip


def test_the_mean_is_compared_where_the_plan_names_no_statistic() -> None:
    assert judge(SHORE | {"min": "78.8"}, of(*SITE))["outcome"] == "conforms"
    assert judge(SHORE | {"min": "78.81"}, of(*SITE))["outcome"] == "does_not_conform"


@pytest.mark.parametrize(
    ("value", "expected"), [("75.6", "conforms"), ("75.5", "does_not_conform")]
)
def test_the_share_of_the_qualified_minimum_is_itself_enough(value: str, expected: str) -> None:
    assert judge(SHORE | {"qualified_min": "84"}, of(value))["outcome"] == expected


def test_a_barcol_mean_can_meet_what_four_readings_miss() -> None:
    """Calculated: qualified minimum 55, limit 49.5."""
    criteria = {"scale": "Barcol", "qualified_min": "55"}

    assert judge(criteria, of(*BARCOL))["outcome"] == "conforms"
    verdict = judge(criteria | {"statistic": "each"}, of(*BARCOL))
    assert verdict["outcome"] == "does_not_conform"
    statement = finding(verdict, "hardness.qualified_min")["statement"]
    assert "4 of 10 readings fail: reading 1 value 9, reading 1 value 4" in statement


def test_the_fraction_from_memory_is_marked_and_a_stated_one_is_the_plan_s() -> None:
    remembered = judge(SHORE | {"qualified_min": "84"}, of(*SITE))
    stated = judge(SHORE | {"qualified_min": "84", "fraction": "0.95"}, of(*SITE))

    source = finding(remembered, "hardness.qualified_min")["source"]
    assert "to be confirmed against the licensed text" in source
    assert "confirmed" not in finding(stated, "hardness.qualified_min")["source"]
    assert stated["computed"]["limit"] == "79.8"


def test_a_minimum_and_a_qualified_minimum_are_both_judged() -> None:
    criteria = SHORE | {"min": "79", "qualified_min": "84"}

    verdict = judge(criteria, of(*SITE))

    assert finding(verdict, "hardness.qualified_min")["outcome"] == "conforms"
    assert finding(verdict, "hardness.min")["outcome"] == "does_not_conform"
    assert verdict["computed"]["limit"] == "79"


def test_without_a_limit_nothing_can_be_judged() -> None:
    verdict = judge(SHORE, of(*SITE))

    assert verdict["outcome"] == "cannot_be_judged"
    assert verdict["computed"]["limit"] is None


def test_readings_of_several_places_are_judged_together() -> None:
    apart = judge(SHORE | {"min": "78.8"}, *(of(value) for value in SITE))

    assert apart["outcome"] == "conforms"
    assert apart["computed"]["mean"] == "78.8"


def test_a_soft_place_that_the_mean_hides_is_flagged() -> None:
    soft, also_soft, hard = of(60, 62, location="north"), of(70), of(90, 92)

    verdict = judge(SHORE | {"min": "72"}, soft, also_soft, hard)

    assert verdict["outcome"] == "conforms"
    assert verdict["flags"] == [
        "hardness.soft_place: the mean of north, reading 2 alone does not reach the limit"
    ]


def test_each_reading_that_fails_is_named_by_its_place() -> None:
    criteria = SHORE | {"min": "72", "statistic": "each"}

    verdict = judge(criteria, of(80, 60, location="north"), of(70))

    statement = finding(verdict, "hardness.min")["statement"]
    assert "2 of 3 readings fail: north value 2, reading 2 value 1." in statement


def test_fewer_readings_than_the_plan_asks_for_are_incomplete() -> None:
    assert judge(SHORE | {"min": "70", "readings_min": 6}, of(*SITE))["outcome"] == "incomplete"
    assert judge(SHORE | {"min": "70", "readings_min": 5}, of(*SITE))["outcome"] == "conforms"


def test_a_reading_without_values_cannot_be_judged() -> None:
    verdict = judge(SHORE | {"min": "70"}, of(*SITE), {"location": "north"})

    assert verdict["outcome"] == "cannot_be_judged"
    assert finding(verdict, "hardness.data")["statement"] == "Reading 2: no values are given."
    assert judge(SHORE | {"min": "70"}, {"location": "n"})["outcome"] == "cannot_be_judged"


@pytest.mark.parametrize(
    ("value", "simple", "guarded", "flag"),
    [
        ("75", "conforms", "conforms", "conditional pass"),
        ("74.9", "conforms", "does_not_conform", "conditional pass"),
        ("72", "conforms", "does_not_conform", "conditional pass"),
        ("71.9", "does_not_conform", "does_not_conform", "conditional fail"),
        ("76", "conforms", "conforms", None),
        ("68", "does_not_conform", "does_not_conform", None),
    ],
)
def test_a_guarded_limit_of_72_with_u_3_accepts_from_75(
    value: str, simple: str, guarded: str, flag: str | None
) -> None:
    """Calculated: guard band of ILAC-G8:09/2019."""
    criteria = SHORE | {"min": "72", "expanded_uncertainty": "3"}

    plain = judge(criteria, of(value))
    strict = judge(criteria | {"decision": "guarded"}, of(value))

    assert (plain["outcome"], strict["outcome"]) == (simple, guarded)
    assert strict["flags"] == ([f"hardness.min: {flag}"] if flag else [])


@pytest.mark.parametrize(("value", "chance"), [("72", "0.500"), ("74", "0.909"), ("75", "0.977")])
def test_the_probability_of_conformity_is_stated_where_asked(value: str, chance: str) -> None:
    """Calculated."""
    criteria = SHORE | {"min": "72", "expanded_uncertainty": "3", "probability": True}

    flags = judge(criteria, of(value))["flags"]

    assert f"hardness.min: probability of conformity {chance}" in flags


@pytest.mark.parametrize(
    ("criteria", "path"),
    [
        ({}, "criteria.scale"),
        ({"scale": "rockwell"}, "criteria.scale"),
        (SHORE | {"min": "101"}, "criteria.min"),
        (SHORE | {"min": "-1"}, "criteria.min"),
        (SHORE | {"fraction": "0"}, "criteria.fraction"),
        (SHORE | {"fraction": "1.1"}, "criteria.fraction"),
        (SHORE | {"grade_min": "H"}, "criteria.grade_min"),
        (SHORE | {"test_method": "ASTM D2583"}, "criteria.test_method"),
        (SHORE | {"material": "reinforced"}, "criteria.material"),
        (SHORE | {"dwell": "3601 s"}, "criteria.dwell"),
        (SHORE | {"readings_min": 0}, "criteria.readings_min"),
        ({"scale": "pencil", "min": "70"}, "criteria.min"),
        ({"scale": "pencil", "qualified_min": "70"}, "criteria.qualified_min"),
    ],
)
def test_a_plan_that_makes_no_sense_is_refused(criteria: dict[str, Any], path: str) -> None:
    with pytest.raises(InvalidValue) as refusal:
        judge(criteria, of(80))

    assert refusal.value.path == path


@pytest.mark.parametrize("value", ["101", "-1", "hard", "8e1", "NaN", "80 shore"])
def test_a_figure_off_the_scale_is_refused(value: str) -> None:
    with pytest.raises(InvalidValue, match=r"^readings\[0\]\.values\[1\]"):
        judge(SHORE | {"min": "70"}, of("80", value))


@few
@given(figures, statistics, st.data())
def test_a_softer_reading_never_improves_the_verdict(
    values: list[Decimal], statistic: str, data: st.DataObject
) -> None:
    criteria = SHORE | {"min": "60", "statistic": statistic}
    softer = [*values]
    index = data.draw(st.integers(0, len(values) - 1))
    softer[index] = data.draw(st.decimals(0, values[index], places=1))

    assert rank(judge(criteria, of(*softer))) <= rank(judge(criteria, of(*values)))


@few
@given(figures, statistics, st.decimals(0, 20, places=1))
def test_a_stricter_limit_or_a_guard_never_improves_the_verdict(
    values: list[Decimal], statistic: str, by: Decimal
) -> None:
    criteria = SHORE | {"min": "60", "statistic": statistic}
    guard = {"decision": "guarded", "expanded_uncertainty": str(by)}
    verdict = judge(criteria, of(*values))

    assert rank(judge(criteria | {"min": str(60 + by)}, of(*values))) <= rank(verdict)
    assert rank(judge(criteria | guard, of(*values))) <= rank(verdict)


@few
@given(figures, statistics, st.data())
def test_the_order_of_readings_does_not_matter(
    values: list[Decimal], statistic: str, data: st.DataObject
) -> None:
    criteria = SHORE | {"min": "60", "statistic": statistic}

    first = judge(criteria, of(*values))
    second = judge(criteria, of(*data.draw(st.permutations(values))))

    assert first["outcome"] == second["outcome"]
    assert first["computed"]["median"] == second["computed"]["median"]
    assert first["computed"]["mean"] == second["computed"]["mean"]


@few
@given(figures, st.integers(1, 5))
def test_fewer_readings_than_required_never_conform(values: list[Decimal], more: int) -> None:
    criteria = SHORE | {"min": "0", "readings_min": len(values) + more}

    assert judge(criteria, of(*values))["outcome"] == "incomplete"
