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


@pytest.mark.parametrize(
    ("criteria", "outcome"),
    [
        ({"steel_min": "20.3 degC"}, "conforms"),
        ({"steel_min": "20.4 degC"}, "does_not_conform"),
        ({"steel_max": "21.7 degC"}, "conforms"),
        ({"steel_max": "21.6 degC"}, "does_not_conform"),
        ({"air_min": "19.3 degC"}, "conforms"),
        ({"air_min": "19.4 degC"}, "does_not_conform"),
        ({"air_max": "69.26 degF"}, "conforms"),
        ({"air_max": "69.25 degF"}, "does_not_conform"),
        ({"steel_min": "293.45 K"}, "conforms"),
        ({"steel_min": "293.46 K"}, "does_not_conform"),
    ],
)
@pytest.mark.parametrize("stated", ["0.7 degC", "0.7 K", "1.26 degF"])
def test_an_uncertainty_stated_as_a_difference_guards_a_temperature(
    stated: str, criteria: dict[str, Any], outcome: str
) -> None:
    """Calculated: air 20 and steel 21 degC, U = 0.7 K, which is 1.26 degF."""
    asked = criteria | GUARDED | {"expanded_uncertainty": stated}

    assert judge(asked, READING)["outcome"] == outcome


def test_the_instrument_of_a_temperature_goes_before_the_expanded_uncertainty() -> None:
    asked = {"steel_min": "20.5 degC", "expanded_uncertainty": "0.7 degC"} | GUARDED

    assert judge(asked, READING)["outcome"] == "does_not_conform"
    assert judge(asked | {"steel_uncertainty": "0.5 degC"}, READING)["outcome"] == "conforms"


def test_a_temperature_within_the_stated_uncertainty_of_its_limit_is_flagged() -> None:
    verdict = judge({"steel_min": "20.5 degC", "expanded_uncertainty": "0.5 degC"}, READING)

    assert verdict["outcome"] == "conforms"
    assert verdict["flags"] == ["ambient.steel_min: conditional pass"]


def test_an_uncertainty_of_temperatures_guards_neither_humidity_nor_time_and_that_is_told() -> None:
    asked = {"humidity_max": "85 %", "expanded_uncertainty": "0.5 degC"} | GUARDED

    verdict = judge(asked, READING)

    assert verdict["outcome"] == "conforms"
    assert verdict["findings"][0]["limit"] == "at most 85 %"
    assert verdict["flags"] == [
        "ambient.humidity: compared as read, for its uncertainty is not stated"
    ]
    own = judge(asked | {"humidity_uncertainty": "1 %"}, READING)
    assert own["outcome"] == "does_not_conform"
    assert own["flags"] == ["ambient.humidity: conditional pass"]


def test_a_guarded_margin_prints_its_guard_band() -> None:
    """Calculated: margin 3.6006, U = 0.5 K."""
    guarded = {"expanded_uncertainty": "0.5 degC"} | GUARDED

    (met,) = judge({"margin_min": "3 degC"} | guarded, READING)["findings"]
    (inside,) = judge({"margin_min": "3.2 degC"} | guarded, READING)["findings"]
    (missed,) = judge({"margin_min": "4 degC"} | guarded, READING)["findings"]

    asked = "at least {} °C, guarded by 0.5 °C"
    label = "Margin above the dew point, reading 1, 3.6 °C"
    assert [f["limit"] for f in (met, inside, missed)] == [asked.format(m) for m in (3, "3.2", 4)]
    assert met["statement"] == f"{label}: {met['limit']} is met."
    assert inside["statement"] == f"{label}: inside the guard band of {inside['limit']}."
    assert missed["statement"] == f"{label}: misses {missed['limit']} by 0.4 °C."


def test_a_guard_band_from_the_instruments_is_printed_rounded_up() -> None:
    """Calculated: 0.896075 K with 0.5 K each for air and steel and 3 % for the humidity."""
    poorer = ORDINARY | {"air_uncertainty": "0.5 degC", "humidity_uncertainty": "3 %"}

    verdict = judge({"margin_min": "2.7 degC"} | poorer | GUARDED, READING)

    assert verdict["computed"]["margin_uncertainty"] == ["0.896075 delta_degC"]
    assert verdict["findings"][0]["limit"] == "at least 2.7 °C, guarded by 0.897 °C"


def test_a_widened_limit_is_printed_rounded_down() -> None:
    """Calculated: 0.896075 K; where rejection is guarded the band must not be too wide."""
    poorer = ORDINARY | {"air_uncertainty": "0.5 degC", "humidity_uncertainty": "3 %"}
    asked = {"margin_min": "4.49 degC", "decision": "guarded_rejection"} | poorer

    (found,) = judge(asked, READING)["findings"]

    assert found["limit"].startswith("at least 4.49 °C, widened by 0.896 °C")
    assert found["outcome"] == "conforms"
    assert judge(asked | {"margin_min": "4.497 degC"}, READING)["outcome"] == "does_not_conform"


@pytest.mark.parametrize(
    ("steel", "observed", "outcome"),
    [
        ("20.9", "3.501 °C", "conforms"),
        ("20.899", "3.4996 °C", "does_not_conform"),
        ("20.3995", "3.0001 °C", "does_not_conform"),
        ("20.399", "2.9996 °C", "does_not_conform"),
    ],
)
def test_a_guarded_margin_prints_neither_as_its_limit_nor_as_what_is_accepted(
    steel: str, observed: str, outcome: str
) -> None:
    """Dew point 17.3994; with U = 0.5 K a margin of 3 is accepted from 3.5 upwards."""
    asked = {"margin_min": "3 degC", "expanded_uncertainty": "0.5 degC"} | GUARDED

    finding = judge(asked, READING | {"steel": [f"{steel} degC"]})["findings"][0]

    assert finding["outcome"] == outcome
    assert finding["observed"] == observed


def test_the_guard_factor_narrows_the_band_of_the_margin() -> None:
    """ISO 14253-1:2017 as quoted: 0.83 of U; 3.6006 less 0.581 is 3.0196."""
    asked = {"expanded_uncertainty": "0.7 degC", "margin_min": "3 degC"} | GUARDED

    assert judge(asked, READING)["outcome"] == "does_not_conform"
    assert judge(asked | {"guard_factor": "0.83"}, READING)["outcome"] == "conforms"
    limit = judge(asked | {"guard_factor": "0.83"}, READING)["findings"][0]["limit"]
    assert limit == "at least 3 °C, guarded by 0.581 °C"


@pytest.mark.parametrize(
    ("stated", "lacking"),
    [
        ({"steel_uncertainty": "0.5 degC"}, "the air temperature and the humidity"),
        ({"steel_uncertainty": "0.5 degC", "humidity_uncertainty": "2 %"}, "the air temperature"),
        (ORDINARY, None),
        (ORDINARY | {"expanded_uncertainty": "0.7 degC"}, None),
        ({"expanded_uncertainty": "0.7 degC"}, None),
        ({}, None),
    ],
)
def test_a_part_of_the_uncertainty_that_is_not_stated_is_told(
    stated: dict[str, Any], lacking: str | None
) -> None:
    flags = judge({"margin_min": "2 degC"} | stated, READING)["flags"]

    told = f"ambient.margin: uncertainty without that of {lacking}, which the plan does not state"
    assert flags == ([told] if lacking else [])


def test_an_instrument_that_was_not_read_guards_no_margin() -> None:
    """The uncertainty of a wet bulb says nothing of a reading by hygrometer."""
    asked = {"margin_min": "3 degC", "wet_bulb_uncertainty": "0.2 degC"} | GUARDED

    verdict = judge(asked, READING)

    assert verdict["flags"] == [
        "ambient.margin: compared as read, for its uncertainty is not stated"
    ]
    assert "margin_uncertainty" not in verdict["computed"]
