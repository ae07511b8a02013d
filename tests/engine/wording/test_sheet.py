"""Readings as a table: entered as entered, computed without ever printing as a limit."""

from typing import Any
from zoneinfo import ZoneInfo

import pytest

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.wording import Sheet, joined, results_of, sheet_of

SITE = ZoneInfo("Europe/Dublin")
MARGIN = {"margin_min": "3 delta_degC"}


def verdict(key: str, criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    characteristic = CHARACTERISTICS[key]
    typed = [characteristic.parse_reading(reading) for reading in readings]
    return characteristic.judge(characteristic.parse_criteria(criteria), typed).as_case()


def sheet(
    key: str, criteria: dict[str, Any], *readings: dict[str, Any], units: str = "metric"
) -> Sheet:
    judged = verdict(key, criteria, *readings)
    return sheet_of(CHARACTERISTICS[key], readings, judged, criteria, units=units, zone=SITE)


def air(**more: Any) -> dict[str, Any]:
    return {"air": "25 degC", "humidity": "80 %", "steel": ["24.3 degC"], **more}


def column(made: Sheet, heading: str) -> list[str]:
    at = [found.heading for found in made.columns].index(heading)
    return [row[at] for row in made.rows]


def test_only_columns_that_carry_a_value_are_shown() -> None:
    headings = [found.heading for found in sheet("ambient", MARGIN, air()).columns]
    assert "Wet bulb, °C" not in headings
    assert headings[0] == "Air temperature (dry bulb), °C"


def test_entered_values_keep_their_digits_and_share_the_unit_of_the_heading() -> None:
    made = sheet("thickness", {"rule": "minimum", "min": "5 mm"}, {"values": ["5.60 mm", "6 mm"]})
    assert column(made, "Readings, mm") == ["5.60, 6"]


def test_values_of_several_units_each_keep_their_own() -> None:
    made = sheet("thickness", {"rule": "minimum", "min": "5 mm"}, {"values": ["6 mm", "0.3 in"]})
    assert column(made, "Readings") == ["6 mm, 0.3 in"]


def test_a_failing_value_never_prints_as_its_limit() -> None:
    """Calculated: dew point 21.3069 degC; 24.3 degC lies 2.9931 above."""
    made = sheet("ambient", MARGIN, air())
    (heading,) = [c.heading for c in made.columns if c.name == "computed_margin"]
    assert column(made, heading) == ["2.99"]


def test_nor_as_a_limit_that_the_rule_derived() -> None:
    """SSPC-PA 2, published example of 8 to 12 mil: a spot is at least 6.4 mil."""
    criteria = {"rule": "pa2", "min": "8 mil", "max": "12 mil"}
    judged = verdict("thickness", criteria, {"values": ["6.3 mil", "6.4 mil", "6.4 mil"]})
    results = dict(
        results_of(CHARACTERISTICS["thickness"], judged, criteria, units="us", zone=SITE)
    )
    assert "6.37 mil" in results.values()


@pytest.mark.parametrize("decision", ["guarded", "guarded_rejection"])
def test_nor_as_one_that_a_decision_rule_guards_or_widens(decision: str) -> None:
    """SSPC-PA 2, published example of 8 to 12 mil: a spot is at least 6.4 mil."""
    criteria = {
        "rule": "pa2",
        "min": "8 mil",
        "max": "12 mil",
        "decision": decision,
        "expanded_uncertainty": "0.5 mil",
    }
    judged = verdict("thickness", criteria, {"values": ["6.3 mil", "6.4 mil", "6.4 mil"]})
    results = dict(
        results_of(CHARACTERISTICS["thickness"], judged, criteria, units="us", zone=SITE)
    )
    assert "6.37 mil" in results.values()


@pytest.mark.parametrize(
    ("criteria", "units", "unit"),
    [
        ({"margin_min": "5 delta_degF"}, "metric", "°F"),
        ({"margin_min": "3 delta_degC"}, "us", "°C"),
        ({"humidity_max": "85 %"}, "us", "°F"),
        ({"humidity_max": "85 %"}, "metric", "°C"),
    ],
)
def test_computed_values_are_in_the_unit_of_their_criterion_else_of_the_project(
    criteria: dict[str, str], units: str, unit: str
) -> None:
    made = sheet("ambient", criteria, air(), units=units)
    (margin,) = [found for found in made.columns if found.name == "computed_margin"]
    assert margin.unit == unit


def test_what_was_entered_everywhere_is_not_shown_again_as_computed() -> None:
    headings = [found.heading for found in sheet("ambient", MARGIN, air()).columns]
    assert headings.count("Relative humidity, %") == 1


def test_a_verdict_on_a_series_gives_the_newest_readings_their_own_values() -> None:
    old, new = air(steel=["30 degC"]), air(steel=["26 degC"])
    judged = verdict("ambient", MARGIN, old, new)
    made = sheet_of(CHARACTERISTICS["ambient"], [new], judged, MARGIN, units="metric", zone=SITE)
    (heading,) = [c.heading for c in made.columns if c.name == "computed_margin"]
    assert column(made, heading) == ["4.7"]


def test_inspections_joined_keep_what_was_computed_for_each() -> None:
    first, second = air(steel=["30 degC"]), air(steel=["26 degC"])
    parts = [
        ([first], verdict("ambient", MARGIN, first)),
        ([second], verdict("ambient", MARGIN, first, second)),
    ]
    readings, judged = joined(parts)
    made = sheet_of(CHARACTERISTICS["ambient"], readings, judged, MARGIN, units="metric", zone=SITE)
    (heading,) = [c.heading for c in made.columns if c.name == "computed_margin"]
    assert column(made, heading) == ["8.7", "4.7"]


def test_a_reading_for_which_nothing_could_be_computed_has_an_empty_cell() -> None:
    made = sheet("ambient", MARGIN, air(), {"steel": ["20 degC"]})
    (heading,) = [c.heading for c in made.columns if c.name == "computed_margin"]
    assert column(made, heading) == ["2.99", ""]


def test_no_reading_is_an_empty_table() -> None:
    assert sheet("ambient", MARGIN) == Sheet(columns=(), rows=())


def test_moments_are_those_of_the_site() -> None:
    made = sheet("ambient", MARGIN, air(at="2026-05-12T07:10+00:00"))
    assert column(made, "Taken at") == ["12 May 2026 08:10"]
