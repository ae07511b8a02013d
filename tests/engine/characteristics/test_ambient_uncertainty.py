"""Ambient: the instruments' uncertainties, and decisions guarded by them."""

from typing import Any

import pytest

from qc.engine.case import judge_case

READING = {"air": "20 degC", "humidity": "85 %", "steel": ["21 degC"]}
"""Dew point 17.3994, margin 3.6006 degC."""

ORDINARY = {
    "air_uncertainty": "0.3 degC",
    "humidity_uncertainty": "2 %",
    "steel_uncertainty": "0.5 degC",
}
"""Combined in the margin: 0.69 degC (calculated)."""

GUARDED = {"decision": "guarded"}


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "ambient", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


def test_the_uncertainty_of_the_margin_is_computed_where_instruments_state_theirs() -> None:
    computed = judge({"margin_min": "3 degC"} | ORDINARY, READING, {})["computed"]

    assert float(computed["margin_uncertainty"][0].split()[0]) == pytest.approx(0.69, abs=0.006)
    assert computed["margin_uncertainty"][1] is None
    assert "margin_uncertainty" not in judge({"margin_min": "3 degC"}, READING)["computed"]


@pytest.mark.parametrize(
    ("limit", "expected"), [("2.91", "conforms"), ("2.92", "does_not_conform")]
)
def test_a_guarded_margin_must_clear_the_limit_by_its_uncertainty(
    limit: str, expected: str
) -> None:
    """Margin 3.6006, uncertainty 0.690: accepted from a limit of 2.9106 downwards."""
    guarded = {"margin_min": f"{limit} degC"} | ORDINARY | GUARDED

    assert judge(guarded, READING)["outcome"] == expected
    simple = guarded | {"decision": "simple"}
    assert judge(simple, READING)["outcome"] == "conforms"


def test_the_guard_band_is_converted_to_the_unit_of_the_limit() -> None:
    guarded = ORDINARY | GUARDED

    assert judge({"margin_min": "5.2 degF"} | guarded, READING)["outcome"] == "conforms"
    assert judge({"margin_min": "5.3 degF"} | guarded, READING)["outcome"] == "does_not_conform"


def test_a_stated_uncertainty_goes_before_that_of_the_instruments() -> None:
    guarded = {"margin_min": "3 degC"} | ORDINARY | GUARDED

    assert judge(guarded, READING)["outcome"] == "does_not_conform"
    assert judge(guarded | {"expanded_uncertainty": "0.5 degC"}, READING)["outcome"] == "conforms"


@pytest.mark.parametrize(
    ("criteria", "outcome"),
    [
        ({"humidity_max": "87 %"}, "conforms"),
        ({"humidity_max": "86.9 %"}, "does_not_conform"),
        ({"air_min": "19.7 degC"}, "conforms"),
        ({"air_min": "19.8 degC"}, "does_not_conform"),
        ({"air_max": "20.3 degC"}, "conforms"),
        ({"air_max": "68.53 degF"}, "does_not_conform"),
        ({"air_max": "68.54 degF"}, "conforms"),
        ({"steel_min": "20.5 degC"}, "conforms"),
        ({"steel_min": "20.6 degC"}, "does_not_conform"),
    ],
)
def test_every_limit_is_guarded_by_its_own_instrument(
    criteria: dict[str, Any], outcome: str
) -> None:
    assert judge(criteria | ORDINARY | GUARDED, READING)["outcome"] == outcome


def test_a_value_within_its_uncertainty_of_the_limit_is_flagged() -> None:
    verdict = judge({"margin_min": "3 degC"} | ORDINARY, READING)

    assert verdict["outcome"] == "conforms"
    assert verdict["flags"] == ["ambient.margin: conditional pass"]


def test_a_wet_bulb_has_its_own_uncertainty() -> None:
    bulbs = {"air": "20 degC", "wet_bulb": "15 degC", "pressure": "1000 hPa", "steel": ["20 degC"]}

    one = judge({"margin_min": "3 degC", "wet_bulb_uncertainty": "0.2 degC"}, bulbs)
    two = judge({"margin_min": "3 degC", "wet_bulb_uncertainty": "0.4 degC"}, bulbs)

    first, second = (float(v["computed"]["margin_uncertainty"][0].split()[0]) for v in (one, two))
    assert first > 0
    assert second == pytest.approx(2 * first, abs=2e-6)


def test_a_guarded_decision_without_any_uncertainty_is_no_pass() -> None:
    verdict = judge({"margin_min": "3 degC"} | GUARDED, READING)

    assert verdict["outcome"] == "cannot_be_judged"
