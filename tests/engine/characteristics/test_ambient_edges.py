"""Ambient: one verdict in which everything is asked, values on the edge, and what frost does."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from tests.engine.characteristics.whole_verdicts import rows

PLAN = {
    "margin_min": "3 degC",
    "humidity_max": "60 %",
    "air_min": "5 degC",
    "air_max": "25 degC",
    "steel_min": "5 degC",
    "steel_max": "40 degC",
    "interval_max": "4 hour",
    "rising_required": True,
    "readings_min": 7,
    "work_start": "2026-05-12T08:00Z",
    "work_end": "2026-05-12T15:00Z",
    "wet_bulb_method": "sling",
}
SOURCES = {name: f"clause {number}" for number, name in enumerate(PLAN, start=1)}
MOISTURE = "IMO guideline on coating work, clause 3.3: not where the steel is or may be wet"


def at(clock: str, **more: Any) -> dict[str, Any]:
    return {"at": f"2026-05-12T{clock}Z"} | more


ASKED = (
    at("08:10", air="25 degC", humidity="60 %", steel=["24 degC", "41 degC"]),
    at("09:00", air="26 degC", humidity="61 %", steel=["17 degC"], moisture_visible=True),
    at("10:00", air="4 degC", humidity="110 %", steel=["4 degC"]),
    at("14:30", air="20 degC", wet_bulb="15 degC", altitude="0 m", steel=["20 degC"]),
    at("11:00", air="20 degC", wet_bulb="0.5 degC", steel=["0 degC"]),
    at("12:00", air="20 degC", wet_bulb="15 degC"),
)


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    return judge_case(
        {
            "characteristic": "ambient",
            "criteria": criteria,
            "sources": SOURCES,
            "readings": list(readings),
        }
    )


def number(text: str) -> float:
    return float(text.split()[0])


def test_each_rule_has_its_finding_with_limit_and_source() -> None:
    fails, unjudged = "does_not_conform", "cannot_be_judged"

    assert rows(judge(PLAN, *ASKED)) == [
        ("ambient.reading", unjudged, "", "", ""),
        ("ambient.margin", fails, "-0.9 °C", "at least 3 °C", "clause 1"),
        ("ambient.margin", unjudged, "", "", "clause 1"),
        ("ambient.humidity", fails, "61.0 %", "at most 60 %", "clause 2"),
        ("ambient.humidity", unjudged, "", "", "clause 2"),
        ("ambient.air_min", fails, "4.0 °C", "at least 5 °C", "clause 3"),
        ("ambient.air_max", fails, "26.0 °C", "at most 25 °C", "clause 4"),
        ("ambient.steel_min", fails, "0.0 °C", "at least 5 °C", "clause 5"),
        ("ambient.steel_min", unjudged, "", "", "clause 5"),
        ("ambient.steel_max", fails, "41.0 °C", "at most 40 °C", "clause 6"),
        ("ambient.steel_max", unjudged, "", "", "clause 6"),
        ("ambient.rising", unjudged, "", "", "clause 8"),
        ("ambient.interval", "conforms", "2.50 h", "at most 4 h", "clause 7"),
        ("ambient.cover_start", fails, "", "", "clause 10"),
        ("ambient.cover_end", "conforms", "", "", "clause 11"),
        ("ambient.readings_min", "incomplete", "6", "at least 7", "clause 9"),
        ("ambient.moisture", fails, "visible", "none visible", MOISTURE),
    ]


def test_each_finding_names_the_readings_it_is_about() -> None:
    said = [found["statement"] for found in judge(PLAN, *ASKED)["findings"]]

    assert [text.split(",")[0] if "lowest" in text else text for text in said[:3]] == [
        "Reading 3: the relative humidity is above 100 %. This is a data error; read again.",
        "Margin above the dew point",
        "Reading 5, 6: the air pressure or the altitude that a wet bulb needs is missing.",
    ]
    assert "reading 2, lowest of 3, -0.9 °C" in said[1]
    assert "Relative humidity, reading 2, highest of 3, 61.0 %" in said[3]
    assert "Air temperature, reading 3, lowest of 6," in said[5]
    assert "2 of 5 readings fail: reading 5, reading 3." in said[7]
    assert said[8] == "Reading 6: the steel temperature is missing."
    assert "Warmest steel, reading 1, highest of 5," in said[9]
    assert "after 2026-05-12 12:00, 2.50 h" in said[12]


def test_what_is_computed_a_reading_each_and_flagged_once() -> None:
    verdict = judge(PLAN, *ASKED)

    computed = verdict["computed"]
    assert [value is None for value in computed["dew_point"]] == [
        *(False, False, True),
        *(False, True, True),
    ]
    assert computed["humidity"][:2] == ["60.000000 %", "61.000000 %"]
    assert computed["margin"][0] == "7.306851 delta_degC"
    assert computed["margin"][2] is None
    assert verdict["flags"] == [
        "condensation_possible",
        "pressure_from_altitude",
        "ice_possible",
        "outside_test_method_range",
    ]


@pytest.mark.parametrize(
    ("steel", "flagged"),
    [("23.05 degC", False), ("23.04 degC", True), ("22.96 degC", True), ("22.95 degC", False)],
)
def test_five_hundredths_beside_the_limit_are_not_on_it_any_more(steel: str, flagged: bool) -> None:
    """Saturated air has its own temperature as dew point, so the margin is exact."""
    reading = {"air": "20 degC", "humidity": "100 %", "steel": [steel]}

    flags = judge({"margin_min": "3 degC"}, reading)["flags"]

    assert ("on_the_limit" in flags) is flagged


@pytest.mark.parametrize(("steel", "flagged"), [("20 degC", True), ("20.01 degC", False)])
def test_steel_at_its_dew_point_may_be_wet(steel: str, flagged: bool) -> None:
    reading = {"air": "20 degC", "humidity": "100 %", "steel": [steel]}

    assert ("condensation_possible" in judge({}, reading)["flags"]) is flagged


def test_a_wet_bulb_at_the_ice_point_is_taken_as_water() -> None:
    bulbs = {"air": "5 degC", "wet_bulb": "0 degC", "pressure": "1000 hPa", "steel": ["10 degC"]}
    plan = {"margin_min": "3 degC"}

    assumed, water, ice = (
        judge(plan, bulbs | stated) for stated in ({}, {"bulb": "water"}, {"bulb": "ice"})
    )

    assert assumed["computed"] == water["computed"] != ice["computed"]
    assert assumed["flags"] == []


@pytest.mark.parametrize(
    ("clocks", "outcome"),
    [
        (("03:00", "08:00", "12:00", "15:00"), "conforms"),
        (("03:00", "08:01", "12:00", "15:00"), "does_not_conform"),
        (("08:00", "11:00", "15:00", "20:00"), "conforms"),
        (("08:00", "11:00", "14:59", "20:00"), "does_not_conform"),
    ],
)
def test_a_gap_counts_from_the_last_reading_before_the_work_to_the_first_after_it(
    clocks: tuple[str, ...], outcome: str
) -> None:
    plan = {name: PLAN[name] for name in ("interval_max", "work_start", "work_end")}

    found = {row[0]: row[1] for row in rows(judge(plan, *(at(clock) for clock in clocks)))}

    assert found["ambient.interval"] == outcome


def test_a_reading_without_its_time_carries_the_source_of_what_was_asked() -> None:
    plan = {"work_end": PLAN["work_end"]}

    assert rows(judge(plan, {"air": "20 degC"}))[0] == (
        "ambient.interval",
        "cannot_be_judged",
        "",
        "",
        "clause 11",
    )


@pytest.mark.parametrize(
    ("steels", "outcome", "observed", "limit"),
    [
        (("20 degC", "21 degC"), "conforms", "rising", "rising"),
        (("20 degC", "20 degC"), "does_not_conform", "not rising", "rising"),
        (("20 degC",), "incomplete", "", ""),
    ],
)
def test_a_trend_has_its_source(
    steels: tuple[str, ...], outcome: str, observed: str, limit: str
) -> None:
    readings = [{"air": "20 degC", "humidity": "60 %", "steel": [steel]} for steel in steels]

    found = rows(judge({"rising_required": True}, *readings))

    assert found == [("ambient.rising", outcome, observed, limit, "clause 8")]


@pytest.mark.parametrize(
    ("order", "outcome"),
    [(("07:00", "08:00"), "conforms"), (("08:00", "07:00"), "does_not_conform")],
)
def test_a_trend_goes_by_the_time_taken(order: tuple[str, str], outcome: str) -> None:
    air = {"air": "20 degC", "humidity": "60 %"}
    readings = [at(order[0], **air, steel=["20 degC"]), at(order[1], **air, steel=["21 degC"])]

    assert judge({"rising_required": True}, *readings)["outcome"] == outcome
    untimed = [readings[0], {**air, "steel": ["21 degC"]}]
    assert judge({"rising_required": True}, *untimed)["outcome"] == "conforms"


@pytest.mark.parametrize("below_zero", ["higher", "dew_point"])
@pytest.mark.parametrize(("air", "humidity"), [("-5", 85), ("20", 60)])
def test_the_uncertainty_of_a_margin_is_the_slope_of_the_point_that_counts(
    below_zero: str, air: str, humidity: int
) -> None:
    """By differences: half of what the margin changes from 1 % below to 1 % above."""
    plan = {"margin_min": "3 degC", "below_zero": below_zero, "humidity_uncertainty": "1 %"}

    drier, read, wetter = (
        judge(plan, {"air": f"{air} degC", "humidity": f"{value} %", "steel": ["30 degC"]})
        for value in (humidity - 1, humidity, humidity + 1)
    )

    margins = [number(verdict["computed"]["margin"][0]) for verdict in (drier, wetter)]
    stated = number(read["computed"]["margin_uncertainty"][0])
    assert stated == pytest.approx((margins[0] - margins[1]) / 2, rel=2e-4)


def test_the_parts_of_a_margins_uncertainty_that_the_plan_leaves_out_are_named() -> None:
    reading = {"air": "20 degC", "humidity": "60 %", "steel": ["20 degC"]}
    plan = {"margin_min": "3 degC", "air_uncertainty": "0.5 delta_degC"}
    rest = {"humidity_uncertainty": "3 %", "steel_uncertainty": "0.5 delta_degC"}

    (flag,) = judge(plan, reading)["flags"]

    assert flag.startswith(
        "ambient.margin: uncertainty without that of the humidity and the steel temperature,"
    )
    assert judge(plan | rest, reading)["flags"] == []
    assert judge(plan | {"expanded_uncertainty": "0.5 delta_degC"}, reading)["flags"] == []
    bulbs = {"air": "20 degC", "wet_bulb": "15 degC", "pressure": "1000 hPa", "steel": ["20 degC"]}
    (wet,) = judge(plan | rest, bulbs)["flags"]
    assert "without that of the wet bulb," in wet


def test_a_guarded_limit_without_an_uncertainty_of_its_own_is_flagged_as_read() -> None:
    reading = {"air": "20 degC", "humidity": "60 %", "steel": ["20 degC"]}
    plan = {"decision": "guarded", "humidity_max": "85 %", "air_uncertainty": "0.5 delta_degC"}

    verdict = judge(plan, reading)

    assert verdict["flags"] == [
        "ambient.humidity: compared as read, for its uncertainty is not stated"
    ]
    assert rows(verdict)[0][1:4] == ("conforms", "60.0 %", "at most 85 %")


def test_dry_steel_is_said_to_be_dry() -> None:
    reading = {"steel": ["20 degC"], "moisture_visible": False}

    found = judge({"steel_min": "5 degC"}, reading)["findings"][-1]

    assert found["statement"] == "No moisture was visible on the steel."
    assert (found["outcome"], found["observed"]) == ("conforms", "none visible")
