"""A minimum on every value, by zone or station, from gauges or from a datum; wet film."""

from typing import Any

import pytest

from qc.engine.characteristics.thickness import THICKNESS
from qc.engine.fields import InvalidValue
from tests.engine.characteristics.thickness_cases import (
    Verdict,
    finding,
    flagged,
    judge,
    mil,
    outcomes,
    um,
)

ZONES = [{"zone": "leak", "min": "10 mm"}, {"zone": "elsewhere", "min": "5 mm"}]
"""Common practice: filler over a leak at least 10 mm, elsewhere 5 mm."""

TWICE = {"zone": "LEAK", "min": "1 mm"}


def minimum(*readings: dict[str, Any], **criteria: Any) -> Verdict:
    return judge({"rule": "minimum"} | criteria, *readings)


def at(zone: str, *values: str) -> dict[str, Any]:
    return {"zone": zone, "values": list(values)}


@pytest.mark.parametrize(
    ("lowest", "outcome"),
    [("5 mm", "conforms"), ("4.999 mm", "does_not_conform"), ("0 mm", "does_not_conform")],
)
def test_every_value_must_reach_the_minimum(lowest: str, outcome: str) -> None:
    verdict = minimum({"values": ["9 mm", lowest]}, {"values": ["12 mm"]}, min="5 mm")

    assert verdict["outcome"] == outcome


def test_a_failing_value_is_named_with_its_miss() -> None:
    verdict = minimum({"values": ["9 mm", "4.2 mm"]}, {"values": ["4.5 mm"]}, min="5 mm")

    statement = finding(verdict, "thickness.minimum.min")["statement"]
    assert "reading 1 value 2" in statement
    assert "misses at least 5 mm by 0.80 mm" in statement
    assert "2 of 3 values fail: reading 1 value 2, reading 2." in statement


@pytest.mark.parametrize(
    ("unit", "shown"),
    [("um", "9.0 µm"), ("mil", "9.00 mil"), ("mm", "9.00 mm"), ("in", "9.0000 in")],
)
def test_a_thickness_is_shown_to_the_digits_of_its_unit(unit: str, shown: str) -> None:
    verdict = minimum({"values": [f"9 {unit}"]}, min=f"5 {unit}")

    assert finding(verdict, "thickness.minimum.min")["observed"] == shown


def test_lists_are_computed_where_lists_are_declared() -> None:
    verdict = judge({"rule": "pa2", "min": "8 mil"}, *[{"values": mil(9, 9, 9)}] * 5)

    fields = {field.name: field for field in THICKNESS.computed}
    for name, value in verdict["computed"].items():
        assert isinstance(value, list) is fields[name].many, name


def test_a_minimum_is_compared_across_units() -> None:
    assert minimum({"values": ["1 mil"]}, min="25.4 um")["outcome"] == "conforms"
    assert minimum({"values": ["1 mil"]}, min="25.401 um")["outcome"] == "does_not_conform"


def test_without_any_minimum_nothing_can_be_judged() -> None:
    assert minimum({"values": um(300)})["outcome"] == "cannot_be_judged"


def test_the_maximum_is_optional_and_judged_where_set() -> None:
    assert minimum({"values": um(300)}, min="5 um", max="300 um")["outcome"] == "conforms"
    assert minimum({"values": um(301)}, min="5 um", max="300 um")["outcome"] == "does_not_conform"


def test_fewer_readings_than_the_plan_asks_for_are_incomplete() -> None:
    assert minimum({"values": um(9, 9)}, min="5 um", readings_min=3)["outcome"] == "incomplete"
    assert minimum({"values": um(9, 9, 9)}, min="5 um", readings_min=3)["outcome"] == "conforms"


@pytest.mark.parametrize(
    ("leak", "elsewhere", "outcome"),
    [
        ("10 mm", "5 mm", "conforms"),
        ("9.99 mm", "5 mm", "does_not_conform"),
        ("10 mm", "4.99 mm", "does_not_conform"),
    ],
)
def test_each_zone_has_its_own_minimum(leak: str, elsewhere: str, outcome: str) -> None:
    verdict = minimum(at("Leak ", leak), at("elsewhere", elsewhere), zones=ZONES)

    assert verdict["outcome"] == outcome


def test_a_zone_without_a_reading_is_incomplete() -> None:
    verdict = minimum(at("leak", "10 mm"), zones=ZONES)

    assert verdict["outcome"] == "incomplete"
    assert "elsewhere" in finding(verdict, "thickness.minimum.zone")["statement"]


@pytest.mark.parametrize("zone", ["weld", ""])
def test_a_zone_that_is_not_in_the_plan_cannot_be_judged(zone: str) -> None:
    verdict = minimum(at("leak", "10 mm"), at("elsewhere", "5 mm"), at(zone, "9 mm"), zones=ZONES)

    assert verdict["outcome"] == "cannot_be_judged"
    statement = finding(verdict, "thickness.minimum.zone")["statement"]
    assert f"3 ({zone or 'none'})" in statement
    assert "leak, elsewhere" in statement


def test_beside_zones_the_general_minimum_holds_for_readings_without_one() -> None:
    zoned = at("leak", "10 mm"), at("elsewhere", "5 mm")

    assert minimum(*zoned, at("", "7 mm"), zones=ZONES, min="7 mm")["outcome"] == "conforms"
    assert minimum(*zoned, at("", "6 mm"), zones=ZONES, min="7 mm")["outcome"] == (
        "does_not_conform"
    )
    assert minimum(*zoned, at("weld", "9 mm"), zones=ZONES, min="7 mm")["outcome"] == (
        "cannot_be_judged"
    )


def test_without_zones_in_the_plan_a_zone_is_only_a_name() -> None:
    assert minimum(at("weld", "7 mm"), min="7 mm")["outcome"] == "conforms"


def test_a_zone_may_ask_for_a_number_of_readings() -> None:
    zones = [ZONES[0] | {"readings_min": 3}]

    assert minimum(at("leak", "10 mm", "11 mm"), zones=zones)["outcome"] == "incomplete"
    assert minimum(at("leak", *["10 mm"] * 3), zones=zones)["outcome"] == "conforms"


@pytest.mark.parametrize(
    ("criteria", "field"),
    [
        ({"rule": "minimum", "zones": [ZONES[0], TWICE]}, "zones[1].zone"),
        ({"rule": "minimum", "zones": ZONES, "max": "9 mm"}, "zones[0].min"),
        ({"rule": "minimum", "zones": [{"zone": "leak"}]}, "zones[0].min"),
        ({"rule": "pa2", "min": "8 mil", "zones": ZONES}, "zones"),
        ({"rule": "iso19840", "nominal": "8 mil", "mean_min": "8 mil"}, "mean_min"),
        ({"rule": "pa2", "min": "12 mil", "max": "300 um"}, "min"),
        ({"rule": "iso19840", "nominal": "901 um", "max": "900 um"}, "nominal"),
        ({"rule": "pa2", "min": "8 mil", "level": 6}, "level"),
        ({"rule": "pa2", "min": "8 mil", "level": 0}, "level"),
        ({"rule": "pa2", "min": "8 degC"}, "min"),
        ({"rule": "iso19840", "surface_profile": "rough"}, "surface_profile"),
        ({"rule": "iso19840", "surface_profile": "25 degC"}, "surface_profile"),
        ({"rule": "80-20"}, "rule"),
        ({"rule": "wet_film", "volume_solids": "100.1 %"}, "volume_solids"),
        ({"rule": "minimum", "gauge_accuracy": "-1 %"}, "gauge_accuracy"),
        ({"rule": "minimum", "readings_min": 0}, "readings_min"),
        ({}, "rule"),
    ],
)  # fmt: skip
def test_a_plan_that_makes_no_sense_is_refused(criteria: dict[str, Any], field: str) -> None:
    with pytest.raises(InvalidValue) as refusal:
        judge(criteria, {"values": um(300)})

    assert refusal.value.path == f"criteria.{field}"


@pytest.mark.parametrize(
    ("values", "path"),
    [
        (["-1 um"], "readings[0].values[0]"),
        (["300 um", "thick"], "readings[0].values[1]"),
        (["300"], "readings[0].values[0]"),
        (["300 degC"], "readings[0].values[0]"),
        ([300], "readings[0].values[0]"),
        (["600 mm"], "readings[0].values[0]"),
        (["NaN um"], "readings[0].values[0]"),
    ],
)
def test_a_reading_that_is_no_thickness_is_refused(values: list[Any], path: str) -> None:
    with pytest.raises(InvalidValue) as refusal:
        minimum({"values": values}, min="5 um")

    assert refusal.value.path == path


def test_a_reading_without_a_value_cannot_be_judged() -> None:
    verdict = minimum({"values": um(300)}, {"zone": "leak"}, min="5 um")

    assert verdict["outcome"] == "cannot_be_judged"
    assert finding(verdict, "thickness.data")["statement"] == "Reading 2: no value is given."
    assert minimum({"zone": "leak"}, min="5 um")["outcome"] == "cannot_be_judged"


@pytest.mark.parametrize(
    ("gauge", "before", "after", "thickness"),
    [
        ("depth_gauge", ["22.4 mm", "21 mm"], ["12 mm", "11 mm"], ["10.4 mm", "10 mm"]),
        ("caliper", ["7.1 mm", "7 mm"], ["17.5 mm", "17 mm"], ["10.4 mm", "10 mm"]),
        ("caliper", ["0.25 in"], ["0.65 in"], ["0.40 in"]),
    ],
)
def test_a_thickness_is_the_difference_from_a_datum(
    gauge: str, before: list[str], after: list[str], thickness: list[str]
) -> None:
    """Common practice: a depth gauge reads less over the repair, a caliper more."""
    reading = {"gauge": gauge, "datum_before": before, "datum_after": after}

    verdict = minimum(reading, min="10 mm")

    assert verdict["computed"]["corrected"] == thickness
    assert verdict["outcome"] == "conforms"


@pytest.mark.parametrize(
    "reading",
    [
        {"gauge": "depth_gauge", "datum_before": ["10 mm"], "datum_after": ["12 mm"]},
        {"gauge": "caliper", "datum_before": ["12 mm"], "datum_after": ["10 mm"]},
        {"datum_before": ["12 mm", "12 mm"], "datum_after": ["2 mm"]},
        {"datum_after": ["2 mm"]},
        {"datum_before": ["12 mm"], "datum_after": ["2 mm"], "values": ["10 mm"]},
    ],
)
def test_distances_that_give_no_thickness_cannot_be_judged(reading: dict[str, Any]) -> None:
    verdict = minimum({"values": ["10 mm"]}, reading, min="5 mm")

    assert verdict["outcome"] == "cannot_be_judged"
    assert finding(verdict, "thickness.data")["statement"].startswith("Reading 2:")


@pytest.mark.parametrize(
    ("least", "outcome"), [("8 mm", "conforms"), ("8.1 mm", "does_not_conform")]
)
def test_the_mean_of_each_station_may_be_limited(least: str, outcome: str) -> None:
    verdict = minimum({"values": ["7 mm", "9 mm"]}, {"values": ["12 mm"]}, mean_min=least)

    assert verdict["outcome"] == outcome
    assert "reading 1" in finding(verdict, "thickness.minimum.mean_min")["statement"]


@pytest.mark.parametrize(
    ("steps", "outcome"),
    [(["1 mm", "2 mm"], "conforms"), (["2.01 mm"], "does_not_conform"), ([], "incomplete")],
)
def test_a_step_to_the_surface_around_is_at_most_what_the_plan_allows(
    steps: list[str], outcome: str
) -> None:
    reading = {"values": ["9 mm"], "flushness": steps}

    assert minimum(reading, min="5 mm", flushness_max="2 mm")["outcome"] == outcome


@pytest.mark.parametrize(
    ("values", "outcome"),
    [
        (um(200, 250), "conforms"),
        (um(199, 250), "does_not_conform"),
        (um(200, 251), "does_not_conform"),
    ],
)
def test_a_wet_film_is_judged_as_a_check_of_the_work_in_progress(
    values: list[str], outcome: str
) -> None:
    criteria = {"rule": "wet_film", "min": "200 um", "max": "250 um", "volume_solids": "60 %"}

    verdict = judge(criteria, {"values": values, "gauge": "wet_comb"})

    assert verdict["outcome"] == outcome
    assert flagged(verdict, "thickness.wet_film")


def test_the_dry_film_to_expect_is_the_wet_film_times_the_volume_solids() -> None:
    criteria = {"rule": "wet_film", "min": "200 um", "volume_solids": "60 %"}

    assert judge(criteria, {"values": um(200, 250)})["computed"]["dry_expected"] == "135 um"


def test_a_wet_film_without_limits_cannot_be_judged() -> None:
    assert judge({"rule": "wet_film"}, {"values": um(200)})["outcome"] == "cannot_be_judged"


def test_a_wet_film_comb_proves_no_dry_thickness() -> None:
    verdict = minimum({"values": um(300), "gauge": "wet_comb"}, min="5 um")

    assert outcomes(verdict)["thickness.wet_comb"] == "cannot_be_judged"


def test_a_setting_that_the_rule_does_not_use_is_flagged() -> None:
    verdict = minimum({"values": mil(9)}, min="5 mil", level=2, share_bound="less_than")

    assert verdict["outcome"] == "conforms"
    assert flagged(verdict, "thickness.level")
    assert flagged(verdict, "thickness.share_bound")
    assert not minimum({"values": mil(9)}, min="5 mil")["flags"]


def test_the_step_that_fails_is_named() -> None:
    readings = [{"values": ["9 mm"], "flushness": [step]} for step in ("1 mm", "3 mm", "4 mm")]

    verdict = minimum(*readings, min="5 mm", flushness_max="2 mm")

    statement = finding(verdict, "thickness.flushness")["statement"]
    assert "2 of 3 steps fail: reading 3, reading 2." in statement
