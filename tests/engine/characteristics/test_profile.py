"""Profile by location: statistic, limits, locations by area, mapping."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from qc.engine.rules import Outcome

few = settings(max_examples=60)
WORST_FIRST = list(Outcome)
SPEC = {"min": "55 um", "max": "85 um"}
TEN = (48, 52, 55, 61, 44, 58, 63, 50, 57, 54)
"""Calculated example: mean 54.2, highest 63."""

heights = st.decimals(20, 120, places=1)
places = st.lists(st.lists(heights, min_size=1, max_size=4), min_size=1, max_size=5)


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "profile", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


def at(name: str, *values: object, unit: str = "um", **more: Any) -> dict[str, Any]:
    return {"location": name, "values": [f"{value} {unit}" for value in values], **more}


def named(*lists: list[Decimal], unit: str = "um") -> list[dict[str, Any]]:
    return [at(f"L{i}", *values, unit=unit) for i, values in enumerate(lists)]


def finding(verdict: dict[str, Any], rule: str) -> dict[str, str]:
    (found,) = [each for each in verdict["findings"] if each["rule"] == rule]
    return dict(found)


def rank(verdict: dict[str, Any]) -> int:
    """Larger is better."""
    return WORST_FIRST.index(verdict["outcome"])


@pytest.mark.parametrize(
    ("statistic", "value", "outcome"),
    [
        ("mean", "54.2 um", "does_not_conform"),
        ("max", "63 um", "conforms"),
        ("mean_of_max", "63 um", "conforms"),
        (None, "54.2 um", "does_not_conform"),
    ],
)
def test_the_statistic_decides_the_example(statistic: str | None, value: str, outcome: str) -> None:
    """Calculated, ASTM D4417 Method B: editions differ in the statistic."""
    criteria = SPEC | ({"statistic": statistic} if statistic else {})

    verdict = judge(criteria, at("A", *TEN))

    assert verdict["computed"]["location_values"] == [value]
    assert verdict["outcome"] == outcome


@pytest.mark.parametrize(
    ("value", "outcome"),
    [
        ("55", "conforms"),
        ("54.999", "does_not_conform"),
        ("85", "conforms"),
        ("85.001", "does_not_conform"),
    ],
)
def test_both_limits_are_included(value: str, outcome: str) -> None:
    assert judge(SPEC, at("A", 70), at("B", value))["outcome"] == outcome


@pytest.mark.parametrize(
    ("criteria", "low", "high"),
    [
        ({"min": "55 um"}, "does_not_conform", "conforms"),
        ({"max": "85 um"}, "conforms", "does_not_conform"),
    ],
)
def test_a_limit_that_is_not_set_is_not_judged(
    criteria: dict[str, Any], low: str, high: str
) -> None:
    assert judge(criteria, at("A", 20))["outcome"] == low
    assert judge(criteria, at("A", 100))["outcome"] == high


def test_without_any_limit_nothing_can_be_judged() -> None:
    assert judge({}, at("A", 60))["outcome"] == "cannot_be_judged"


def test_single_readings_are_not_judged_but_every_location_is() -> None:
    """SSPC-PA 17, from memory: the average of each location lies within the range."""
    assert judge(SPEC, at("A", 20, 100))["outcome"] == "conforms"
    assert finding(judge(SPEC, at("A", 60)), "profile.readings")["statement"] == (
        "1 reading at A, at least 1 asked for."
    )
    verdict = judge(SPEC, at("A", 84), at("B", 54), at("C", 70))
    assert verdict["outcome"] == "does_not_conform"
    assert "Profile, B, lowest of 3, 54.0 µm" in finding(verdict, "profile.min")["statement"]
    assert verdict["computed"]["mean"] == "69.333333 um"


def test_the_mean_of_the_highest_judges_all_locations_together() -> None:
    criteria = SPEC | {"statistic": "mean_of_max"}

    assert judge(criteria, at("A", 40, 50), at("B", 10, 60))["outcome"] == "conforms"
    assert judge(criteria, at("A", 40, 50), at("B", 10, 59))["outcome"] == "does_not_conform"


def test_readings_of_one_location_are_one_location() -> None:
    verdict = judge(SPEC | {"locations_min": 2}, at("A", 50), at("a", 70))

    assert verdict["outcome"] == "incomplete"
    assert verdict["computed"]["location_values"] == ["60 um", "60 um"]
    assert verdict["computed"]["mean"] == "60 um"


def test_readings_without_a_location_are_locations_of_their_own() -> None:
    verdict = judge(SPEC | {"locations_min": 2}, {"values": ["60 um"]}, {"values": ["70 um"]})

    assert verdict["outcome"] == "conforms"


def test_fewer_readings_at_any_location_are_incomplete() -> None:
    verdict = judge(SPEC | {"readings_min": 2}, at("A", 60, 61, 62), at("B", 60))

    assert verdict["outcome"] == "incomplete"
    assert (
        "1 reading at B, which has the fewest" in finding(verdict, "profile.readings")["statement"]
    )


@pytest.mark.parametrize(
    ("area", "required"),
    [
        ("20 m2", 3), ("100 m2", 3), ("100.1 m2", 4), ("250 m2", 5), ("1000 m2", 12),
        ("1000 ft2", 3), ("1001 ft2", 4),
    ],
)  # fmt: skip
def test_the_area_asks_for_so_many_locations(area: str, required: int) -> None:
    """UFGS formula, counts calculated."""
    enough = judge(SPEC | {"area": area}, *(at(f"L{i}", 60) for i in range(required)))
    few = judge(SPEC | {"area": area}, *(at(f"L{i}", 60) for i in range(required - 1)))

    assert (enough["outcome"], few["outcome"]) == ("conforms", "incomplete")
    assert finding(few, "profile.locations")["limit"] == f"at least {required}"


def test_each_failing_location_asks_for_two_more() -> None:
    """UFGS formula, calculated: one failing test at 250 m2 makes 5 + 2 = 7."""
    locations = [at(f"L{i}", 60) for i in range(4)]

    verdict = judge(SPEC | {"area": "250 m2"}, *locations, at("bad", 50))

    assert finding(verdict, "profile.locations")["limit"] == "at least 7"


def test_the_plan_may_ask_for_more_locations_than_the_area() -> None:
    criteria = SPEC | {"area": "20 m2", "locations_min": 4}

    assert judge(criteria, *(at(f"L{i}", 60) for i in range(3)))["outcome"] == "incomplete"


def test_a_failing_location_opens_a_mapping_task() -> None:
    verdict = judge(SPEC, at("A", 60), at("B", 50))

    assert any(f.startswith("profile.mapping: map B: go out in 4") for f in verdict["flags"])
    assert not judge(SPEC, at("A", 60))["flags"]


def no_room(*directions: str) -> list[dict[str, Any]]:
    return [{"maps": "B", "direction": name, "surface_ends": True} for name in directions]


def test_a_mapped_location_is_no_location_of_its_own() -> None:
    way = [at("B1", 60, maps="B", direction="up"), at("B2", 60, maps="B", direction="up")]
    way += no_room("down", "left", "right")

    verdict = judge(SPEC | {"locations_min": 2}, at("B", 50), *way)

    assert finding(verdict, "profile.mapping")["outcome"] == "conforms"
    assert finding(verdict, "profile.locations")["outcome"] == "incomplete"
    assert verdict["computed"]["location_values"] == ["50 um", "60 um", "60 um", None, None, None]
    assert verdict["computed"]["mean"] == "50 um"
    assert not any(flag.startswith("profile.mapping") for flag in verdict["flags"])


def test_a_failing_location_stays_to_be_mapped_while_another_is_mapped() -> None:
    """SSPC-PA 17, read second-hand: each location that does not conform is mapped."""
    way = [at("B1", 60, maps="b", direction="up"), at("B2", 60, maps="b", direction="up")]

    flags = judge(SPEC, at("A", 60), at("B", 50), at("C", 50), *way)["flags"]

    assert [flag[:24] for flag in flags if flag.startswith("profile.mapping")] == [
        "profile.mapping: map C: "
    ]


@pytest.mark.parametrize(
    ("value", "ends", "outcome"),
    [
        ("55", False, "incomplete"),
        ("55", True, "conforms"),
        ("54.9", True, "does_not_conform"),
        ("85.1", True, "does_not_conform"),
    ],
)
def test_a_way_outwards_ends_with_the_surface(value: str, ends: bool, outcome: str) -> None:
    way = at("B1", value, maps="B", direction="up", surface_ends=ends)

    others = no_room("down", "left", "right")
    found = finding(judge(SPEC, at("B", 60), way, *others), "profile.mapping")
    assert found["outcome"] == outcome


@pytest.mark.parametrize(("left_out", "outcome"), [(0, "conforms"), (1, "incomplete")])
def test_all_four_directions_are_mapped_or_said_to_have_no_room(
    left_out: int, outcome: str
) -> None:
    """SSPC-PA 17, read second-hand."""
    ways = [
        at(f"{name} {i}", 60, maps="B", direction=name)
        for name in ("up", "down", "left")[left_out:]
        for i in (1, 2)
    ]

    verdict = judge(SPEC, at("B", 60), *ways, *no_room("right"))

    assert verdict["outcome"] == outcome
    said = finding(verdict, "profile.mapping")["statement"]
    assert said.startswith(f"{4 - left_out} of 4 directions mapped around B")


def test_an_empty_reading_is_no_statement_that_there_is_no_room() -> None:
    for lacking in ({"maps": "B", "direction": "up"}, {"surface_ends": True}):
        assert judge(SPEC, at("B", 60), lacking)["outcome"] == "cannot_be_judged"


def test_mapping_alone_is_incomplete() -> None:
    assert judge(SPEC, at("B1", 60, maps="B"))["outcome"] == "incomplete"


@pytest.mark.parametrize(
    ("standard", "value", "is_flagged"),
    [
        ("iso8503-4", 20, False), ("iso8503-4", "19.9", True), ("iso8503-4", 200, False),
        ("iso8503-4", "200.1", True), ("iso8503-5", "115.1", True), ("astm-d7127", 150, False),
        ("astm-d7127", "9.9", True), ("astm-d4417", 250, False),
    ],
)  # fmt: skip
def test_a_value_outside_the_range_of_the_method_is_flagged(
    standard: str, value: object, is_flagged: bool
) -> None:
    """ISO 8503-4 and ASTM D7127, scopes."""
    flags = judge({"min": "1 um", "standard": standard}, at("A", value))["flags"]

    assert any(flag.startswith("profile.range:") for flag in flags) is is_flagged


def test_a_withdrawn_standard_is_flagged() -> None:
    flags = judge(SPEC | {"standard": "ASTM D7127"}, at("A", 60))["flags"]

    assert any(flag.startswith("profile.standard:") for flag in flags)


def test_a_depth_micrometer_on_a_curved_surface_is_flagged() -> None:
    """ASTM D4417-19, note 1."""
    flags = judge(SPEC | {"method": "depth_micrometer"}, at("A", 60, curved=True))["flags"]

    assert any(flag.startswith("profile.curved: reading 1:") for flag in flags)
    assert not judge(SPEC | {"method": "stylus"}, at("A", 60, curved=True))["flags"]


@pytest.mark.parametrize(
    ("criteria", "path"),
    [
        ({"min": "85 um", "max": "55 um"}, "criteria.min"),
        ({"min": "4 mil", "max": "101 um"}, "criteria.min"),
        ({"min": "55 kg"}, "criteria.min"),
        ({"method": "laser"}, "criteria.method"),
        ({"method": "stylus", "grade": "medium"}, "criteria.grade"),
        ({"segment_min": 3, "segment_max": 2}, "criteria.segment_min"),
        ({"segment_min": 5}, "criteria.segment_min"),
        ({"locations_min": 0}, "criteria.locations_min"),
        ({"readings_min": 0}, "criteria.readings_min"),
        ({"max": "1001 um"}, "criteria.max"),
        ({"min": "-1 um"}, "criteria.min"),
        ({"area": "-1 m2"}, "criteria.area"),
    ],
)
def test_a_plan_that_makes_no_sense_is_refused(criteria: dict[str, Any], path: str) -> None:
    with pytest.raises(InvalidValue) as refusal:
        judge(criteria, at("A", 60))

    assert refusal.value.path == path


@few
@given(places, st.data())
def test_the_order_of_locations_and_readings_does_not_matter(
    lists: list[list[Decimal]], data: st.DataObject
) -> None:
    shuffled = data.draw(st.permutations(named(*map(sorted, lists))))

    first, second = judge(SPEC, *named(*lists)), judge(SPEC, *shuffled)

    assert first["outcome"] == second["outcome"]
    assert first["computed"]["mean"] == second["computed"]["mean"]


@few
@given(places, st.sampled_from(["mean", "max", "mean_of_max"]))
def test_the_unit_of_entry_does_not_change_the_outcome(
    lists: list[list[Decimal]], statistic: str
) -> None:
    criteria = {"min": "1.2 mil", "max": "3 mil", "statistic": statistic}
    in_mil = [[value / 20 for value in values] for values in lists]
    in_um = [[value * Decimal("25.4") for value in values] for values in in_mil]

    first = judge(criteria, *named(*in_mil, unit="mil"))
    second = judge(criteria, *named(*in_um))

    assert [f["outcome"] for f in first["findings"]] == [f["outcome"] for f in second["findings"]]


@few
@given(places, st.integers(0, 30), st.sampled_from(["mean", "max", "mean_of_max"]))
def test_a_stricter_limit_or_a_guard_never_improves_the_verdict(
    lists: list[list[Decimal]], by: int, statistic: str
) -> None:
    criteria = SPEC | {"statistic": statistic}
    verdict = judge(criteria, *named(*lists))

    stricter = judge(criteria | {"min": f"{55 + by} um"}, *named(*lists))
    guard = {"decision": "guarded", "expanded_uncertainty": f"{by} um"}

    assert rank(stricter) <= rank(verdict)
    assert rank(judge(criteria | guard, *named(*lists))) <= rank(verdict)


@few
@given(places, st.data())
def test_a_lower_reading_never_improves_the_verdict_on_a_minimum(
    lists: list[list[Decimal]], data: st.DataObject
) -> None:
    lower = [list(values) for values in lists]
    index = data.draw(st.integers(0, len(lists) - 1))
    lower[index][0] = data.draw(st.decimals(10, lower[index][0], places=1))

    worse = judge({"min": "55 um"}, *named(*lower))

    assert rank(worse) <= rank(judge({"min": "55 um"}, *named(*lists)))


@few
@given(places, st.integers(1, 5))
def test_fewer_locations_than_required_never_conform(lists: list[list[Decimal]], more: int) -> None:
    criteria = {"max": "200 um", "locations_min": len(lists) + more}

    assert judge(criteria, *named(*lists))["outcome"] == "incomplete"
