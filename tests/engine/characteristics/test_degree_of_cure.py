"""Degree of cure from the heat of reaction that is left."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

TOTAL = {"total_enthalpy": "320 J/g"}


def judge(criteria: dict[str, Any], *samples: dict[str, Any]) -> dict[str, Any]:
    return judge_case(
        {"characteristic": "degree_of_cure", "criteria": criteria, "readings": list(samples)}
    )


@pytest.mark.parametrize(
    ("residual", "degree"), [("79.33 J/g", 75.21), ("145.4 J/g", 54.56), ("0 J/g", 100)]
)
def test_published_degrees_of_cure(residual: str, degree: float) -> None:
    """Published calorimetry note: of 320 J/g in total 79.33 left is 75.21 %, 145.4 is 54.55 %.

    The second is printed one step low; 0 left is calculated.
    """
    computed = judge(TOTAL, {"residual_enthalpy": residual})["computed"]["degree"]

    assert round(float(computed[0].split()[0]), 2) == degree


@pytest.mark.parametrize(
    ("residual", "outcome"),
    [("16 J/g", "conforms"), ("16.0001 J/g", "does_not_conform"), ("15.9 J/g", "conforms")],
)
def test_a_degree_on_the_limit_conforms(residual: str, outcome: str) -> None:
    criteria = TOTAL | {"degree_min": "95 %"}

    assert judge(criteria, {"residual_enthalpy": residual})["outcome"] == outcome


def test_the_total_of_the_sample_takes_the_place_of_the_plan_s() -> None:
    sample = {"total_enthalpy": "200 J/g", "residual_enthalpy": "20 J/g"}

    assert judge(TOTAL, sample)["computed"]["degree"] == ["90 %"]


@pytest.mark.parametrize(
    "sample",
    [
        {"residual_enthalpy": "321 J/g"},
        {"total_enthalpy": "0 J/g", "residual_enthalpy": "0 J/g"},
        {"total_enthalpy": "300 J/g"},
        {},
    ],
)
def test_impossible_or_missing_heats_cannot_be_judged(sample: dict[str, Any]) -> None:
    verdict = judge(TOTAL | {"degree_min": "95 %"}, sample)

    assert verdict["outcome"] == "cannot_be_judged"
    assert verdict["computed"]["degree"] == [None]


def test_a_sample_that_has_not_reacted_at_all_fails_and_is_named() -> None:
    raw = {"residual_enthalpy": "320 J/g"}

    verdict = judge(TOTAL | {"degree_min": "95 %"}, raw, raw | {"sample": "W-2"})

    assert verdict["outcome"] == "does_not_conform"
    assert "sample 1" in verdict["findings"][1]["statement"]
    assert "W-2" in verdict["findings"][2]["statement"]


@pytest.mark.parametrize(
    ("observed", "outcome"),
    [
        ("95 degC", "conforms"),
        ("203 degF", "conforms"),
        ("94.9 degC", "does_not_conform"),
        (None, "cannot_be_judged"),
    ],
)
def test_the_glass_transition_reaches_its_least(observed: str | None, outcome: str) -> None:
    criteria = {"glass_transition_min": "95 degC"}

    assert judge(criteria, {"glass_transition": observed})["outcome"] == outcome


@pytest.mark.parametrize(
    ("observed", "defect", "outcome"),
    [
        ("96 degC", "A", "conforms"),
        ("96 degC", "B", "does_not_conform"),
        ("100 degC", "B", "conforms"),
        ("212 degF", "B", "conforms"),
        ("99.9 degC", "B", "does_not_conform"),
        ("90 degC", "A", "conforms"),
        ("89.9 degC", "A", "does_not_conform"),
        (None, "A", "cannot_be_judged"),
    ],
)
def test_the_glass_transition_lies_a_margin_above_the_design_temperature(
    observed: str | None, defect: str, outcome: str
) -> None:
    """ISO 24817, from memory: 20 degC for a defect of type A, 30 for B; calculated at 70 degC."""
    criteria = {"design_temperature": "70 degC", "defect_type": defect}

    verdict = judge(criteria, {"glass_transition": observed})

    assert verdict["outcome"] == outcome
    (_, margin) = verdict["findings"]
    assert margin["rule"] == "degree_of_cure.glass_transition_margin"
    assert "to be confirmed against the licensed text" in margin["source"]


def test_the_margin_of_the_plan_goes_before_the_one_from_memory() -> None:
    criteria = {
        "design_temperature": "158 degF",
        "defect_type": "B",
        "glass_transition_margin_min": "27 degF",
        "glass_transition_min": "90 degC",
    }

    met = judge(criteria, {"glass_transition": "85 degC"})
    missed = judge(criteria, {"glass_transition": "84.9 degC"})

    assert [f["outcome"] for f in met["findings"]] == ["conforms", "does_not_conform", "conforms"]
    statement = missed["findings"][2]["statement"]
    assert statement == (
        "Glass transition above the design temperature 158 °F, sample 1, 26.8 °F: misses at least "
        "27 °F by 0.2 °F."
    )
    assert "confirmed" not in missed["findings"][2]["source"]


@pytest.mark.parametrize(
    ("criteria", "path"),
    [
        ({"design_temperature": "70 degC"}, "criteria.design_temperature"),
        ({"defect_type": "A"}, "criteria.defect_type"),
        ({"glass_transition_margin_min": "20 degC"}, "criteria.glass_transition_margin_min"),
        ({"design_temperature": "70 degC", "defect_type": "C"}, "criteria.defect_type"),
    ],
)
def test_margin_and_design_temperature_go_together(criteria: dict[str, Any], path: str) -> None:
    with pytest.raises(InvalidValue) as refused:
        judge(criteria, {"glass_transition": "100 degC"})

    assert refused.value.path == path


def test_a_plan_without_limit_and_too_few_samples_are_no_pass() -> None:
    sample = {"residual_enthalpy": "1 J/g"}

    assert judge(TOTAL, sample)["outcome"] == "cannot_be_judged"
    assert judge(TOTAL | {"degree_min": "90 %", "readings_min": 2}, sample)["outcome"] == (
        "incomplete"
    )
    assert judge(TOTAL | {"degree_min": "90 %"})["outcome"] == "incomplete"


@pytest.mark.parametrize(
    ("criteria", "sample"),
    [
        ({"degree_min": "101 %"}, {}),
        ({}, {"residual_enthalpy": "-1 J/g"}),
        ({}, {"residual_enthalpy": "1 kJ/mol"}),
    ],
)
def test_values_without_sense_are_refused(criteria: dict[str, Any], sample: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match="degree_min|residual_enthalpy"):
        judge(criteria, sample)


def test_a_guarded_decision_keeps_the_uncertainty_above_the_limit() -> None:
    criteria = TOTAL | {
        "degree_min": "90 %",
        "decision": "guarded",
        "expanded_uncertainty": "2 %",
    }

    assert judge(criteria, {"residual_enthalpy": "25.6 J/g"})["outcome"] == "conforms"
    assert judge(criteria, {"residual_enthalpy": "25.7 J/g"})["outcome"] == "does_not_conform"
