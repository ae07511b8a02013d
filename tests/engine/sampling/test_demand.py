"""How many places a rule asks for: the counts that the verdicts ask for too."""

import pytest

from qc.engine.case import judge_case
from qc.engine.characteristic import Characteristic
from qc.engine.characteristics import ALL
from qc.engine.quantities import Quantity
from qc.engine.sampling import Rule, demand


def places(rule: Rule, area: str, one_each: str | None = None) -> int:
    each = Quantity.parse(one_each) if one_each else None
    return demand(rule, Quantity.parse(area), each).places


@pytest.mark.parametrize(
    ("area", "count"),
    [
        ("0.8 m2", 5),
        ("1 m2", 5),
        ("1.01 m2", 10),
        ("3 m2", 10),
        ("3.01 m2", 15),
        ("10.01 m2", 20),
        ("30 m2", 20),
        ("31 m2", 30),
        ("100.1 m2", 40),
        ("200 m2", 40),
        ("500 m2", 70),
        ("501 m2", 80),
    ],
)
def test_iso_19840_by_area(area: str, count: int) -> None:
    """Trade journal, comparison of standards: steps, and 70 readings for 500 m2."""
    assert places(Rule.ISO19840, area) == count


def test_iso_19840_above_a_thousand_square_metres_is_divided() -> None:
    assert not demand(Rule.ISO19840, Quantity.parse("1000 m2")).notes
    assert "1000 m²" in demand(Rule.ISO19840, Quantity.parse("1000.1 m2")).notes[0]


@pytest.mark.parametrize(
    ("area", "areas", "spots"),
    [
        ("25 m2", 3, 15),
        ("95 m2", 3, 15),
        ("101 m2", 4, 20),
        ("500 m2", 7, 35),
        ("250 ft2", 3, 15),
        ("1001 ft2", 4, 20),
        ("12500 ft2", 15, 75),
    ],
)
def test_pa_2_by_areas_of_five_spots_of_three_readings(area: str, areas: int, spots: int) -> None:
    """SSPC-PA 2, published counts: 12 500 ft2 is 15 areas and 75 spots, 500 m2 is 35 spots."""
    asked = demand(Rule.PA2, Quantity.parse(area))

    assert (asked.areas, asked.places, asked.readings_each) == (areas, spots, 3)


@pytest.mark.parametrize(
    ("area", "profile", "salts"),
    [
        ("20 m2", 3, 3),
        ("100 m2", 3, 3),
        ("100.1 m2", 4, 4),
        ("250 m2", 5, 4),
        ("1000 m2", 12, 8),
        ("1000 ft2", 3, 3),
        ("1001 ft2", 4, 4),
    ],
)
def test_profile_and_salts_by_area(area: str, profile: int, salts: int) -> None:
    """UFGS 09 97 series: 3 tests, and one for each further 100 m2 (profile) or 200 m2 (salts)."""
    assert places(Rule.PROFILE, area) == places(Rule.COMPARATOR, area) == profile
    assert places(Rule.SALTS, area) == salts


@pytest.mark.parametrize(("area", "count"), [("500 m2", 100), ("0.2 m2", 1), ("5.01 m2", 2)])
def test_ninety_ten_takes_one_for_each_five_square_metres(area: str, count: int) -> None:
    """IMO performance standard for protective coatings: 500 m2 is 100 readings."""
    assert places(Rule.NINETY_TEN, area) == count


@pytest.mark.parametrize(
    ("area", "each", "count"),
    [("30 m2", "10 m2", 3), ("30.1 m2", "10 m2", 4), ("1 m2", "10 m2", 1), ("30 m2", "30 ft2", 11)],
)
def test_one_for_each_area_that_is_asked(area: str, each: str, count: int) -> None:
    """30 m2 are 322.9 ft2."""
    assert places(Rule.ONE_EACH, area, each) == count


def test_one_for_each_needs_its_area() -> None:
    with pytest.raises(ValueError, match="needs the area"):
        demand(Rule.ONE_EACH, Quantity.parse("3 m2"))


@pytest.mark.parametrize("rule", [rule for rule in Rule if rule is not Rule.ONE_EACH])
def test_every_count_names_its_source(rule: Rule) -> None:
    assert demand(rule, Quantity.parse("50 m2")).source


@pytest.mark.parametrize("area", ["2 m2", "35 m2", "120 m2"])
def test_as_many_readings_as_are_proposed_are_enough_for_the_verdict(area: str) -> None:
    count = places(Rule.ISO19840, area)
    criteria = {"rule": "iso19840", "nominal": "300 um", "area": area, "surface_profile": "smooth"}

    def outcome(readings: int) -> str:
        values = [f"{320 + i % 5} um" for i in range(readings)]
        case = {"characteristic": "thickness", "criteria": criteria}
        return str(judge_case(case | {"readings": [{"values": values}]})["outcome"])

    assert outcome(count) == "conforms"
    assert outcome(count - 1) == "incomplete"


@pytest.mark.parametrize("characteristic", ALL, ids=lambda c: c.key)
def test_every_rule_that_a_characteristic_counts_places_by_is_known(
    characteristic: Characteristic,
) -> None:
    places = characteristic.places
    named = () if places is None else (*places.rules, *places.unless.values())

    assert set(named) <= set(Rule)
    assert (
        places is None
        or not places.least
        or places.least in {field.name for field in characteristic.criteria}
    )
