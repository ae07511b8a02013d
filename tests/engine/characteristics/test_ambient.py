"""Ambient: margin, humidity, temperatures and moisture, on and beside every limit."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

SEA_LEVEL = "1013.25 hPa"
"""Stated where a published example prints no pressure."""

MARGIN = {"margin_min": "3 degC"}
DRY = {"air": "25 degC", "humidity": "60 %", "steel": ["25 degC"]}

temperatures = st.decimals(-20, 45, places=1)
humidities = st.decimals(5, 100, places=1)


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "ambient", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


def outcome(criteria: dict[str, Any], *readings: dict[str, Any]) -> str:
    return str(judge(criteria, *readings)["outcome"])


def air(temperature: str, humidity: str, *steel: str) -> dict[str, Any]:
    return {"air": temperature, "humidity": humidity, "steel": list(steel)}


@pytest.mark.parametrize(
    ("reading", "criteria", "expected"),
    [
        (air("25 degC", "80 %", "24.3 degC"), MARGIN, "does_not_conform"),
        (air("25 degC", "80 %", "24.4 degC"), MARGIN, "conforms"),
        (air("20 degC", "85 %", "20 degC"), MARGIN, "does_not_conform"),
        (air("20 degC", "85 %", "20 degC"), {"humidity_max": "85 %"}, "conforms"),
        (air("30 degC", "85 %", "31 degC"), MARGIN | {"humidity_max": "85 %"}, "conforms"),
        (air("70 degF", "65 %", "62 degF"), {"margin_min": "5 delta_degF"}, "does_not_conform"),
    ],
)
def test_the_calculated_decisions_come_out(
    reading: dict[str, Any], criteria: dict[str, Any], expected: str
) -> None:
    """Calculated; the last is passed by a printed chart and failed by the formula."""
    assert outcome(criteria, reading) == expected


def test_a_boundary_that_hangs_on_the_formula_asks_for_another_reading() -> None:
    """Calculated: 10 degC, 60 %, steel 5.6 degC has a margin of 2.999 or 3.000 by formula."""
    reading = air("10 degC", "60 %", "5.6 degC")

    for formula in ("wmo2008", "hyland_wexler"):
        assert "on_the_limit" in judge(MARGIN | {"formula": formula}, reading)["flags"]
    assert outcome(MARGIN | {"formula": "hyland_wexler"}, reading) == "conforms"


@pytest.mark.parametrize(("steel", "flagged"), [("24.35 degC", True), ("24.36 degC", False)])
def test_five_hundredths_of_a_kelvin_are_on_the_limit(steel: str, flagged: bool) -> None:
    """Dew point 21.3069: 24.35 is 0.043 and 24.36 is 0.053 above the limit."""
    assert ("on_the_limit" in judge(MARGIN, air("25 degC", "80 %", steel))["flags"]) is flagged


def test_the_printed_example_with_a_wet_bulb_is_acceptable() -> None:
    """A paint guide prints: dry 21, wet 17, steel 19 degC gives 15 and 4, acceptable."""
    reading = {
        "air": "21 degC",
        "wet_bulb": "17 degC",
        "pressure": SEA_LEVEL,
        "steel": ["19 degC"],
    }

    verdict = judge(MARGIN, reading)

    assert verdict["outcome"] == "conforms"
    assert verdict["computed"]["dew_point"] == ["14.620050 degC"]
    assert verdict["computed"]["margin"] == ["4.379950 delta_degC"]


def test_the_printed_example_with_cold_steel_is_not_to_be_painted() -> None:
    """A paint guide prints: 16 degC, 71 %, steel 13 degC gives 11 and 2, do not paint."""
    verdict = judge(MARGIN, air("16 degC", "71 %", "13 degC"))

    assert verdict["outcome"] == "does_not_conform"
    assert verdict["findings"][0]["observed"] == "2.3 °C"


def test_a_failing_margin_never_prints_as_its_limit() -> None:
    finding = judge(MARGIN, air("25 degC", "80 %", "24.3 degC"))["findings"][0]

    assert finding["observed"] == "2.99 °C"
    assert finding["limit"] == "at least 3 °C"
    assert "misses at least 3 °C by 0.01 °C" in finding["statement"]


def test_a_verdict_carries_the_computed_values_and_the_formula() -> None:
    computed = judge(MARGIN, DRY, {"air": "20 degC"})["computed"]

    assert computed["dew_point"] == ["16.693149 degC", None]
    assert computed["frost_point"] == [None, None]
    assert computed["humidity"] == ["60.000000 %", None]
    assert computed["margin"] == ["8.306851 delta_degC", None]
    assert computed["formula"].startswith("WMO-No. 8 (2008) Annex 4.B")


@pytest.mark.parametrize("unit", ["degC", "degF"])
def test_a_margin_on_the_limit_conforms(unit: str) -> None:
    """Saturated air has its own temperature as dew point: 20 and 23 degC are 3 K apart."""
    steel = {"degC": "23 degC", "degF": "73.4 degF"}[unit]
    dry = {"degC": "20 degC", "degF": "68 degF"}[unit]

    assert outcome(MARGIN, air(dry, "100 %", steel)) == "conforms"
    assert outcome({"margin_min": "5.4 degF"}, air(dry, "100 %", steel)) == "conforms"
    assert outcome({"margin_min": "5.41 degF"}, air(dry, "100 %", steel)) == "does_not_conform"


def test_a_fahrenheit_reading_on_a_fahrenheit_limit_conforms() -> None:
    assert outcome({"margin_min": "5 degF"}, air("70.1 degF", "100 %", "75.1 degF")) == "conforms"


def test_five_degrees_fahrenheit_are_less_than_three_celsius() -> None:
    reading = air("20 degC", "100 %", "22.8 degC")

    assert outcome({"margin_min": "5 delta_degF"}, reading) == "conforms"
    assert outcome({"margin_min": "3 delta_degC"}, reading) == "does_not_conform"


def test_a_limit_is_compared_and_printed_in_the_unit_of_its_specification() -> None:
    finding = judge({"margin_min": "5 degF"}, air("20 degC", "100 %", "22 degC"))["findings"][0]

    assert (finding["observed"], finding["limit"]) == ("3.6 °F", "at least 5 °F")


@pytest.mark.parametrize(
    ("limit", "within", "beyond"),
    [
        ({"humidity_max": "85 %"}, {"humidity": "85 %"}, {"humidity": "85.001 %"}),
        ({"air_min": "5 degC"}, {"air": "5 degC"}, {"air": "4.999 degC"}),
        ({"air_min": "5 degC"}, {"air": "41 degF"}, {"air": "40.999 degF"}),
        ({"air_max": "35 degC"}, {"air": "35 degC"}, {"air": "35.001 degC"}),
        ({"steel_min": "5 degC"}, {"steel": ["5 degC"]}, {"steel": ["9 degC", "4.99 degC"]}),
        ({"steel_max": "40 degC"}, {"steel": ["40 degC"]}, {"steel": ["40.01 degC", "20 degC"]}),
        ({"steel_max": "104 degF"}, {"steel": ["40 degC"]}, {"steel": ["40.01 degC"]}),
    ],
)
def test_the_limit_itself_conforms_and_beyond_it_fails(
    limit: dict[str, Any], within: dict[str, Any], beyond: dict[str, Any]
) -> None:
    assert outcome(limit, DRY | within) == "conforms"
    assert outcome(limit, DRY | beyond) == "does_not_conform"


def test_a_plan_may_exclude_the_humidity_limit_itself() -> None:
    below = {"humidity_max": "85 %", "humidity_bound": "below"}

    assert outcome(below, DRY | {"humidity": "84.9 %"}) == "conforms"
    assert outcome(below, DRY | {"humidity": "85 %"}) == "does_not_conform"


def test_the_coldest_spot_makes_the_margin_and_all_spots_the_window() -> None:
    reading = DRY | {"steel": ["30 degC", "19 degC", "25 degC"]}
    criteria = MARGIN | {"steel_min": "19 degC", "steel_max": "30 degC"}

    verdict = judge(criteria, reading)

    assert verdict["computed"]["margin"] == ["2.306851 delta_degC"]
    assert {f["rule"]: f["outcome"] for f in verdict["findings"]} == {
        "ambient.margin": "does_not_conform",
        "ambient.steel_min": "conforms",
        "ambient.steel_max": "conforms",
    }


def test_one_bad_reading_fails_the_whole_and_is_named() -> None:
    verdict = judge(MARGIN, DRY, DRY | {"steel": ["17 degC"]}, DRY | {"steel": ["18 degC"]})

    assert verdict["outcome"] == "does_not_conform"
    assert "2 of 3 readings fail: reading 2, reading 3" in verdict["findings"][0]["statement"]


def test_visible_moisture_fails_whatever_the_plan_asks() -> None:
    wet = DRY | {"moisture_visible": True}

    assert outcome(MARGIN, wet) == "does_not_conform"
    assert outcome({}, wet) == "does_not_conform"
    assert outcome(MARGIN, DRY, wet) == "does_not_conform"


def test_dry_steel_alone_is_no_pass() -> None:
    dry = DRY | {"moisture_visible": False}

    assert outcome({}, dry) == "cannot_be_judged"
    findings = judge(MARGIN, dry)["findings"]
    assert [f["rule"] for f in findings] == ["ambient.margin", "ambient.moisture"]
    assert len(judge(MARGIN, dry, DRY)["findings"]) == 1


def test_a_plan_that_asks_nothing_judges_nothing() -> None:
    assert outcome({}, DRY) == "cannot_be_judged"


@pytest.mark.parametrize(
    ("criteria", "lacking", "said"),
    [
        (MARGIN, "humidity", "the relative humidity or the wet bulb is missing"),
        (MARGIN, "steel", "the steel temperature is missing"),
        (MARGIN, "air", "the air temperature is missing"),
        ({"humidity_max": "85 %"}, "humidity", "the relative humidity or the wet bulb is missing"),
        ({"air_min": "5 degC"}, "air", "the air temperature is missing"),
        ({"steel_min": "5 degC"}, "steel", "the steel temperature is missing"),
    ],
)
def test_a_missing_input_cannot_be_judged(
    criteria: dict[str, Any], lacking: str, said: str
) -> None:
    verdict = judge(criteria, {name: value for name, value in DRY.items() if name != lacking})

    assert verdict["outcome"] == "cannot_be_judged"
    assert verdict["findings"][-1]["statement"] == f"Reading 1: {said}."


def test_an_input_that_no_rule_needs_may_be_missing() -> None:
    assert outcome({"steel_min": "5 degC"}, {"steel": ["20 degC"]}) == "conforms"
    assert outcome({"air_max": "35 degC"}, {"air": "20 degC"}) == "conforms"


def test_too_few_readings_are_incomplete() -> None:
    criteria = MARGIN | {"readings_min": "3"}

    assert outcome(criteria, DRY, DRY) == "incomplete"
    assert outcome(criteria, DRY, DRY, DRY) == "conforms"


@pytest.mark.parametrize(
    "criteria",
    [
        {"air_min": "30 degC", "air_max": "20 degC"},
        {"steel_min": "41 degF", "steel_max": "4.9 degC"},
        {"margin_min": "-1 degC"},
        {"margin_min": "3 hour"},
        {"margin_min": "3"},
        {"humidity_max": "101 %"},
        {"formula": "guess"},
        {"margin": "3 degC"},
    ],
)
def test_a_nonsensical_plan_is_refused(criteria: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=r"^criteria\."):
        judge(criteria, DRY)


@pytest.mark.parametrize(
    "entry",
    [
        {"humidity": "-5 %"},
        {"humidity": "0 %"},
        {"humidity": "121 %"},
        {"humidity": 60},
        {"air": "200 degC"},
        {"air": "20 um"},
        {"steel": ["20 degC", "hot"]},
        {"pressure": "1013 kPa"},
        {"at": "yesterday"},
        {"moisture_visible": "no"},
        {"wetness": True},
    ],
)
def test_a_nonsensical_reading_is_refused(entry: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^readings\[0\]\.{next(iter(entry))}"):
        judge(MARGIN, DRY | entry)


@given(temperatures, humidities, temperatures, st.decimals("0.1", 10, places=1))
def test_colder_steel_never_improves_the_outcome(
    dry: object, humidity: object, steel: object, colder: Any
) -> None:
    reading = air(f"{dry} degC", f"{humidity} %", f"{steel} degC")
    worse = air(f"{dry} degC", f"{humidity} %", f"{steel} degC", f"{steel - colder} degC")

    if outcome(MARGIN, reading) != "conforms":
        assert outcome(MARGIN, worse) != "conforms"


@given(temperatures, humidities, temperatures, st.decimals("0.5", 8, places=1))
def test_a_stricter_limit_never_improves_the_outcome(
    dry: object, humidity: object, steel: object, margin: Any
) -> None:
    reading = air(f"{dry} degC", f"{humidity} %", f"{steel} degC")

    if outcome({"margin_min": f"{margin} degC"}, reading) != "conforms":
        stricter = {"margin_min": f"{margin + 1} degC"}
        assert outcome(stricter, reading) == "does_not_conform"


@given(st.permutations([DRY, DRY | {"steel": ["17 degC"]}, DRY | {"humidity": "90 %"}]))
def test_the_order_of_readings_does_not_matter(readings: list[dict[str, Any]]) -> None:
    found = judge(MARGIN | {"humidity_max": "85 %"}, *readings)["findings"]

    assert [f["outcome"] for f in found] == ["does_not_conform", "does_not_conform"]
    assert [f["observed"] for f in found] == ["0.3 °C", "90.0 %"]


@given(st.integers(-20, 45), humidities, st.integers(-20, 45))
def test_the_unit_of_entry_does_not_change_the_outcome(
    dry: int, humidity: object, steel: int
) -> None:
    """Whole Celsius is tenths of Fahrenheit, so both entries are the same temperature."""
    in_celsius = air(f"{dry} degC", f"{humidity} %", f"{steel} degC")
    in_fahrenheit = air(
        f"{dry * 9 / 5 + 32:.1f} degF", f"{humidity} %", f"{steel * 9 / 5 + 32:.1f} degF"
    )

    assert judge(MARGIN, in_celsius) == judge(MARGIN, in_fahrenheit)
