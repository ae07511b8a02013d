"""The holiday test: each finding whole, and what is computed of several readings together."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from tests.engine.characteristics.whole_verdicts import rows

SOURCES = {
    "voltage": "clause 1",
    "dielectric_strength": "clause 2",
    "area": "clause 3",
    "holidays_max": "clause 4",
}
AGREED = {"method": "high_voltage", "standard": "NACE SP0188", "edition": "2024"}
SPARK = AGREED | {
    "voltage": "5 kV",
    "voltage_tolerance": "10 %",
    "thickness": "400 um",
    "dielectric_strength": "20 V/um",
    "area": "10 m2",
    "holidays_max": 2,
}
SPONGE = AGREED | {"method": "low_voltage", "voltage": "67.5 V"}
THREE = (
    {"voltage": "5 kV", "holidays": 2, "places": "x", "area": "4 m2", "location": "north"},
    {"voltage": "5.6 kV", "holidays": 1, "area": "5.5 m2", "thickness": "250 um"},
    {"voltage": "5.5 kV", "holidays": 0, "area": "0.4 m2", "thickness": "300 um"},
)
CEILING = "dielectric strength times thickness, as an instrument manual quotes it"


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    return judge_case(
        {
            "characteristic": "continuity",
            "criteria": criteria,
            "sources": SOURCES,
            "readings": list(readings),
        }
    )


def test_each_rule_has_its_finding_with_limit_and_source() -> None:
    """Calculated: 20 V/um x 250 um = 5 kV, 5 kV + 10 % = 5.5 kV, 4 + 5.5 + 0.4 = 9.9 m2."""
    found = rows(judge(SPARK, *THREE))

    assert [row[:4] for row in found] == [
        ("continuity.holidays", "does_not_conform", "3", "at most 2"),
        ("continuity.voltage", "cannot_be_judged", "5 kV, 5.6 kV, 5.5 kV", "5 kV within 10 %"),
        (
            "continuity.ceiling",
            "does_not_conform",
            "5.6 kV",
            "below 20 kV/mm times the thickness",
        ),
        ("continuity.area", "incomplete", "9.90 m²", "at least 10 m²"),
    ]
    holidays, voltage, ceiling, area = (row[4] for row in found)
    assert (holidays, voltage) == ("clause 4", "clause 1; NACE SP0188, edition 2024")
    assert ceiling.startswith(f"clause 2; {CEILING}")
    assert area == "clause 3"


def test_each_finding_names_the_readings_it_is_about() -> None:
    holidays, voltage, ceiling, _ = (f["statement"] for f in judge(SPARK, *THREE)["findings"])

    assert holidays == (
        "Holidays found: 3 (2 at reading 1 (north), 1 at reading 2), at most 2 accepted."
    )
    assert voltage.startswith("Reading 2: tested with 5.6 kV, the plan asks for 5 kV within 10 %")
    assert ceiling.startswith("Reading 2: 5.6 kV is not below 5 kV, which 250 um of coating")


def test_what_is_computed_a_reading_each() -> None:
    """NACE RP0274, in US units 1250 sqrt(mil) as quoted: 250 V sqrt(400 um) = 5000 V."""
    computed = judge(SPARK, *THREE)["computed"]

    assert (computed["holidays"], computed["area_tested"]) == (3, "9.9 m2")
    assert computed["ceiling"] == ["8 kV", "5 kV", "6 kV"]
    assert computed["rp0274"] == ["5000 V", "3952.847075 V", "4330.127019 V"]
    assert len(computed["d5162"]) == 3


def test_a_thickness_that_nobody_states_computes_no_voltage_and_flags_no_formula() -> None:
    plan = AGREED | {"dielectric_strength": "20 V/um"}

    verdict = judge(plan, {"voltage": "4.5 kV", "holidays": 1}, {"holidays": 0, "area": "1 m2"})

    unknown = [None, None]
    assert verdict["computed"] == {
        "holidays": 1,
        "area_tested": "1 m2",
        "ceiling": unknown,
        "rp0274": unknown,
        "d5162": unknown,
    }
    assert [flag.split(":")[0] for flag in verdict["flags"]] == [
        "continuity.standard",
        "continuity.places",
    ]
    assert verdict["flags"][1].startswith("continuity.places: reading 1:")


def test_without_a_number_none_is_accepted_and_without_a_voltage_nothing_is_judged() -> None:
    found = rows(judge(AGREED, {"voltage": "4.5 kV", "holidays": 1}))

    assert found[0] == (
        "continuity.holidays",
        "does_not_conform",
        "1",
        "at most 0",
        "common practice: none accepted unless the plan says otherwise",
    )
    assert found[1] == ("continuity.voltage", "cannot_be_judged", "", "", "")
    assert len(found) == 2


@pytest.mark.parametrize(
    ("reading", "strength"), [({"voltage": "5 kV"}, "20 V/um"), ({"thickness": "1 mm"}, "20 V/um")]
)
def test_a_ceiling_needs_both_the_voltage_used_and_the_thickness(
    reading: dict[str, str], strength: str
) -> None:
    plan = AGREED | {"voltage": "5 kV", "dielectric_strength": strength}

    (found,) = [row for row in rows(judge(plan, reading | {"holidays": 0})) if "ceiling" in row[0]]

    assert found[1] == "cannot_be_judged"
    assert found[2] == reading.get("voltage", "")


@pytest.mark.parametrize(
    ("used", "outcome"), [("7.99 kV", "conforms"), ("8 kV", "does_not_conform")]
)
def test_the_voltage_stays_below_what_the_coating_withstands(used: str, outcome: str) -> None:
    """Calculated: 20 V/um x 400 um = 8 kV."""
    plan = AGREED | {
        "voltage": "7.5 kV",
        "voltage_tolerance": "10 %",
        "thickness": "400 um",
        "dielectric_strength": "20 V/um",
    }

    found = rows(judge(plan, {"voltage": used, "holidays": 0}))

    assert [row[:2] for row in found[1:]] == [
        ("continuity.voltage", "conforms"),
        ("continuity.ceiling", outcome),
    ]


@pytest.mark.parametrize(
    ("used", "outcome"),
    [
        ("4.5 kV", "conforms"),
        ("4.499 kV", "cannot_be_judged"),
        ("5500 V", "conforms"),
        ("5.501 kV", "cannot_be_judged"),
    ],
)
def test_the_tolerance_of_the_voltage_is_a_share_of_it_both_ways(used: str, outcome: str) -> None:
    plan = AGREED | {"voltage": "5 kV", "voltage_tolerance": "10 %"}

    assert rows(judge(plan, {"voltage": used, "holidays": 0}))[1][1] == outcome


def test_a_voltage_that_is_not_stated_cannot_be_judged() -> None:
    found = judge(SPARK | {"dielectric_strength": None}, {"holidays": 0})["findings"][1]

    assert (found["rule"], found["outcome"], found["observed"]) == (
        "continuity.voltage",
        "cannot_be_judged",
        "",
    )
    assert "The voltage used is not stated" in found["statement"]


def test_areas_in_any_unit_add_up_in_that_of_the_plan() -> None:
    """Calculated: 10 m2 / 0.09290304 = 107.639104 ft2."""
    verdict = judge(
        SPARK | {"area": "100 ft2"}, {"voltage": "5 kV", "holidays": 0, "area": "10 m2"}
    )

    assert verdict["computed"]["area_tested"] == "107.639104 ft2"
    assert rows(verdict)[-1] == (
        "continuity.area",
        "conforms",
        "107.64 ft²",
        "at least 100 ft²",
        "clause 3",
    )


def test_areas_without_an_area_of_the_plan_add_up_in_the_unit_of_the_first() -> None:
    readings = [{"voltage": "5 kV", "holidays": 0, "area": area} for area in ("10 ft2", "1 m2")]

    verdict = judge(AGREED | {"voltage": "5 kV"}, *readings)

    assert verdict["computed"]["area_tested"] == "20.76391 ft2"
    assert not any("area" in row[0] for row in rows(verdict))


def test_a_reading_without_its_area_leaves_the_area_unjudged() -> None:
    tested = {"voltage": "5 kV", "holidays": 0}

    found = judge(SPARK, tested | {"area": "20 m2"}, tested)["findings"][-1]

    assert (found["rule"], found["outcome"], found["source"]) == (
        "continuity.area",
        "cannot_be_judged",
        "clause 3",
    )
    assert found["statement"] == "Reading 2: the area tested is not stated."


def test_a_wet_sponge_reaches_half_a_millimetre_or_twenty_mils() -> None:
    """Common practice: 500 um or 20 mil, each in its own system of units."""
    sizes: tuple[str | None, ...] = ("500 um", "501 um", None, "20 mil", "20.1 mil")
    tested = {"voltage": "67.5 V", "holidays": 0}

    verdict = judge(SPONGE, *(tested | ({"thickness": s} if s else {}) for s in sizes))

    found = [f for f in verdict["findings"] if f["rule"] == "continuity.wet_sponge"]
    assert [f["statement"].split(":")[0] for f in found] == ["Reading 3", "Reading 2, 5"]
    assert {f["outcome"] for f in found} == {"cannot_be_judged"}
    assert all(f["source"].startswith("low-voltage wet sponge to about 500 um") for f in found)
    assert "ceiling" not in verdict["computed"]
    assert len(verdict["flags"]) == 1


@pytest.mark.parametrize(
    ("criteria", "path", "said"),
    [
        (SPONGE | {"voltage": "100.1 V"}, "voltage", "is no low voltage, at most 100 V"),
        (AGREED | {"voltage": "100 V"}, "voltage", "is no high voltage, above 100 V"),
        (SPARK | {"voltage": "8 kV"}, "voltage", "8 kV is not below 8 kV, which a coating of 400"),
        (AGREED | {"standard": ""}, "standard", "is required"),
        (AGREED | {"edition": ""}, "edition", "is required"),
    ],
)
def test_a_plan_that_makes_no_sense_is_refused_by_field(
    criteria: dict[str, Any], path: str, said: str
) -> None:
    with pytest.raises(InvalidValue) as refused:
        judge(criteria, THREE[0])

    assert str(refused.value).startswith(f"criteria.{path}: ")
    assert said in str(refused.value)


def test_the_highest_low_voltage_and_the_lowest_ceiling_are_taken() -> None:
    assert judge(SPONGE | {"voltage": "100 V"}, {"voltage": "100 V", "holidays": 0})
    assert judge(SPARK | {"voltage": "7.99 kV"}, {"voltage": "7.99 kV", "holidays": 0})
    assert judge(SPONGE | {"thickness": "1 um"}, {"voltage": "67.5 V", "holidays": 0})


def test_no_holiday_is_found_nowhere() -> None:
    found = judge(AGREED | {"voltage": "5 kV"}, {"voltage": "5 kV", "holidays": 0})["findings"][0]

    assert found["statement"] == "Holidays found: 0, at most 0 accepted."
