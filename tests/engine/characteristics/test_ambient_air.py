"""Ambient: wet bulbs, air below freezing, and readings that contradict themselves."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

MARGIN = {"margin_min": "3 degC"}
BULBS = {"air": "20 degC", "wet_bulb": "15 degC", "pressure": "1013.25 hPa", "steel": ["20 degC"]}


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "ambient", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


def without(name: str, reading: dict[str, Any] = BULBS) -> dict[str, Any]:
    return {key: value for key, value in reading.items() if key != name}


def celsius(text: str) -> float:
    return float(text.split()[0])


def test_a_wet_bulb_needs_pressure_or_altitude() -> None:
    verdict = judge(MARGIN, without("pressure"))

    assert verdict["outcome"] == "cannot_be_judged"
    assert "the air pressure or the altitude" in verdict["findings"][0]["statement"]
    assert verdict["computed"]["dew_point"] == [None]


def test_altitude_serves_in_place_of_pressure_and_is_flagged() -> None:
    by_altitude = judge(MARGIN, without("pressure") | {"altitude": "500 m"})
    by_pressure = judge(MARGIN, BULBS | {"pressure": "954.61 hPa"})

    assert by_altitude["outcome"] == "conforms"
    assert by_altitude["flags"] == ["pressure_from_altitude"]
    assert celsius(by_altitude["computed"]["dew_point"][0]) == pytest.approx(
        celsius(by_pressure["computed"]["dew_point"][0]), abs=1e-4
    )
    assert judge(MARGIN, BULBS | {"altitude": "500 m"})["flags"] == []


@pytest.mark.parametrize("pressure", ["1013.25 hPa", "101.325 kPa", "101325 Pa", "1013.25 mbar"])
def test_pressure_may_be_given_in_any_unit(pressure: str) -> None:
    assert judge(MARGIN, BULBS | {"pressure": pressure}) == judge(MARGIN, BULBS)


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ({"wet_bulb": "20.1 degC"}, "the wet bulb, 20.1 degC, is above the dry bulb, 20 degC"),
        ({"wet_bulb": "2 degC"}, "colder than even dry air could make it"),
        ({"wet_bulb": "15 degC", "bulb": "ice"}, "said to carry ice above 0"),
        ({"humidity": "50 %"}, "both humidity and wet bulb are given"),
    ],
)
def test_bulbs_that_contradict_are_a_data_error_and_no_fail(
    entry: dict[str, Any], said: str
) -> None:
    verdict = judge(MARGIN | {"humidity_max": "1 %"}, BULBS | entry)

    assert verdict["outcome"] == "cannot_be_judged"
    assert [f["rule"] for f in verdict["findings"]] == ["ambient.reading"]
    assert said in verdict["findings"][0]["statement"]


@pytest.mark.parametrize("humidity", ["100.1 %", "120 %"])
def test_humidity_above_saturation_is_a_data_error_and_no_fail(humidity: str) -> None:
    verdict = judge(
        {"humidity_max": "85 %"}, {"air": "20 degC", "humidity": humidity, "steel": ["20 degC"]}
    )

    assert verdict["outcome"] == "cannot_be_judged"
    assert "above 100 %" in verdict["findings"][0]["statement"]


def test_a_data_error_does_not_hide_a_failing_reading() -> None:
    wrong = BULBS | {"wet_bulb": "21 degC"}

    verdict = judge(MARGIN, wrong, BULBS | {"steel": ["10 degC"]})

    assert verdict["outcome"] == "does_not_conform"
    assert [f["rule"] for f in verdict["findings"]] == ["ambient.reading", "ambient.margin"]


def test_data_errors_of_one_kind_make_one_finding() -> None:
    wrong = BULBS | {"wet_bulb": "21 degC"}

    findings = judge(MARGIN, wrong, BULBS, wrong)["findings"]

    assert [f["rule"] for f in findings] == ["ambient.reading", "ambient.margin"]
    assert findings[0]["statement"].startswith("Reading 1, 3: ")


def test_equal_bulbs_mean_saturated_air() -> None:
    computed = judge(MARGIN, BULBS | {"wet_bulb": "20 degC"})["computed"]

    assert computed["humidity"] == ["100.000000 %"]
    assert computed["dew_point"] == ["20.000000 degC"]


def test_humidity_from_a_wet_bulb_is_judged() -> None:
    assert judge({"humidity_max": "58.4 %"}, BULBS)["outcome"] == "conforms"
    assert judge({"humidity_max": "58.3 %"}, BULBS)["outcome"] == "does_not_conform"


def test_the_other_formula_is_selectable_and_named() -> None:
    default = judge(MARGIN, BULBS)["computed"]
    other = judge(MARGIN | {"formula": "hyland_wexler"}, BULBS)["computed"]

    assert celsius(other["dew_point"][0]) == pytest.approx(11.73, abs=0.006)
    assert other["dew_point"] != default["dew_point"]
    assert other["formula"].startswith("Hyland-Wexler 1983")


@pytest.mark.parametrize(
    ("dry", "humidity", "dew", "frost"),
    [("5", "60", -2.11, -1.87), ("-5", "85", -7.13, -6.32), ("-10", "80", -12.79, -11.41)],
)
def test_below_freezing_the_margin_counts_from_the_frost_point(
    dry: str, humidity: str, dew: float, frost: float
) -> None:
    """Calculated by Sonntag 1994."""
    reading = {"air": f"{dry} degC", "humidity": f"{humidity} %", "steel": ["0 degC"]}

    computed = judge(MARGIN, reading)["computed"]

    assert celsius(computed["dew_point"][0]) == pytest.approx(dew, abs=0.03)
    assert celsius(computed["frost_point"][0]) == pytest.approx(frost, abs=0.03)
    assert celsius(computed["margin"][0]) == pytest.approx(-frost, abs=0.03)


def test_the_frost_point_decides_unless_the_plan_says_otherwise() -> None:
    """Dew point -7.13, frost point -6.32: steel at -3.7 degC is 3.43 and 2.62 above them."""
    reading = {"air": "-5 degC", "humidity": "85 %", "steel": ["-3.7 degC"]}

    assert judge(MARGIN, reading)["outcome"] == "does_not_conform"
    assert judge(MARGIN | {"below_zero": "dew_point"}, reading)["outcome"] == "conforms"


@pytest.mark.parametrize(("steel", "flagged"), [("0 degC", True), ("32.1 degF", False)])
def test_steel_at_freezing_may_carry_ice(steel: str, flagged: bool) -> None:
    reading = {"air": "5 degC", "humidity": "30 %", "steel": ["10 degC", steel]}

    assert ("ice_possible" in judge(MARGIN, reading)["flags"]) is flagged


def test_a_bulb_below_freezing_is_taken_as_iced_and_flagged_unless_stated() -> None:
    cold = {"air": "0 degC", "wet_bulb": "-2 degC", "pressure": "1000 hPa", "steel": ["10 degC"]}

    assumed, iced, wet = (
        judge(MARGIN, cold | stated) for stated in ({}, {"bulb": "ice"}, {"bulb": "water"})
    )

    assert assumed["computed"] == iced["computed"] != wet["computed"]
    assert assumed["flags"] == ["ice_bulb_assumed"]
    assert iced["flags"] == wet["flags"] == []


@pytest.mark.parametrize(
    ("method", "entry", "flagged"),
    [
        ("aspirated", {}, False),
        ("aspirated", {"air": "5 degC", "wet_bulb": "1 degC"}, False),
        ("aspirated", {"air": "4.9 degC", "wet_bulb": "1 degC"}, True),
        ("aspirated", {"air": "5 degC", "wet_bulb": "0.9 degC"}, True),
        ("aspirated", {"air": "51 degC", "wet_bulb": "30 degC"}, False),
        ("sling", {"air": "51 degC", "wet_bulb": "30 degC"}, True),
        ("sling", {"pressure": "709 hPa"}, True),
        ("sling", {"pressure": "709.275 hPa"}, False),
        ("", {"air": "4.9 degC", "wet_bulb": "0.9 degC"}, False),
    ],
)
def test_readings_outside_the_test_method_are_flagged(
    method: str, entry: dict[str, Any], flagged: bool
) -> None:
    """ASTM E337 scope: Method A 5 to 80 degC, B 5 to 50 degC, wet bulb 1 degC, 30 % pressure."""
    verdict = judge(MARGIN | {"wet_bulb_method": method}, BULBS | entry)

    assert ("outside_test_method_range" in verdict["flags"]) is flagged


def test_a_sea_level_pressure_in_the_wrong_unit_is_refused() -> None:
    with pytest.raises(InvalidValue, match=r"readings\[0\]\.pressure"):
        judge(MARGIN, BULBS | {"pressure": "101.325 hPa"})
