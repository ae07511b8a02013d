"""Where to measure: within bounds, one in each stratum, and the same from the same seed."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.fields import InvalidValue
from qc.engine.quantities import Quantity
from qc.engine.sampling import propose_case

PIPE = {"rule": "iso19840", "seed": "R-0001/7", "length": "2 m", "diameter": "323.9 mm"}
WALL = {"rule": "pa2", "seed": "R-0001/7", "length": "40 ft", "breadth": "30 ft"}


def metres(place: dict[str, Any], name: str) -> Fraction:
    return Fraction(Quantity.parse(place[name]).magnitude_in("m"))


def test_the_proposal_of_a_seed_is_this_for_ever() -> None:
    found = propose_case(PIPE)

    assert (found["seed"], found["generator"]) == ("R-0001/7", "sha256-counter")
    assert [(p["along"], p["across"], p["clock"]) for p in found["places"][:3]] == [
        ("0.218 m", "0.300 m", "3:32"),
        ("0.526 m", "0.395 m", "4:39"),
        ("0.273 m", "0.816 m", "9:37"),
    ]


def test_a_pipe_has_its_area_its_number_and_a_clock() -> None:
    """Calculated: 1.017562 m round, 2.0351 m2; ISO 19840: 10 readings up to 3 m2."""
    found = propose_case(PIPE)

    assert found["area"] == "2.035124 m2"
    assert [place["number"] for place in found["places"]] == list(range(1, 11))
    for place in found["places"]:
        hour, minute = map(int, place["clock"].split(":"))
        around = metres(place, "across") / Fraction("1.017562")
        assert abs((hour % 12 + Fraction(minute, 60)) / 12 - around) < Fraction(1, 300)


def test_every_hour_of_the_clock_comes_up_and_there_is_no_hour_nought() -> None:
    seen = {
        place["clock"].split(":")[0]
        for seed in range(20)
        for place in propose_case(PIPE | {"seed": str(seed)})["places"]
    }

    assert seen == {str(hour) for hour in range(1, 13)}


def test_spots_of_pa_2_lie_in_inspection_areas_of_a_hundred_square_feet() -> None:
    """SSPC-PA 2: 1200 ft2 has 4 areas of 100 ft2 with 5 spots each.

    The wall's strata are 20 ft by 15 ft, so an area is 11.55 ft by 8.66 ft: 3.52 m by 2.64 m.
    """
    found = propose_case(WALL)

    assert [place["area"] for place in found["places"]] == [
        n for n in (1, 2, 3, 4) for _ in "12345"
    ]
    assert found["readings_each"] == 3
    for number in (1, 2, 3, 4):
        spots = [place for place in found["places"] if place["area"] == number]
        for name in ("along", "across"):
            at = [metres(spot, name) for spot in spots]
            assert max(at) - min(at) <= Fraction("3.55")


def test_a_rectangle_has_no_clock_and_no_inspection_areas() -> None:
    found = propose_case({"rule": "salts", "seed": "a", "length": "20 m", "breadth": "3 m"})

    assert [set(place) for place in found["places"]] == [{"number", "along", "across"}] * 3


def test_the_plan_may_ask_for_more_than_the_rule_but_not_for_less() -> None:
    assert len(propose_case(PIPE | {"places_min": 14})["places"]) == 14
    assert "14 places, as asked" in propose_case(PIPE | {"places_min": 14})["source"]
    assert len(propose_case(PIPE | {"places_min": 3})["places"]) == 10
    more = propose_case(WALL | {"places_min": 21})
    assert (len(more["places"]), more["places"][-1]["area"]) == (25, 5)


def test_another_seed_proposes_other_places() -> None:
    assert propose_case(PIPE)["places"] != propose_case(PIPE | {"seed": "R-0001/8"})["places"]


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"rule": None}, "sampling.rule: is required"),
        ({"rule": "iso2859"}, "sampling.rule: 'iso2859' is not one of"),
        ({"seed": ""}, "sampling.seed: is required"),
        ({"length": None}, "sampling.length: is required"),
        ({"length": "2 kg"}, "sampling.length: 'kg' is a unit of mass, not of length"),
        ({"length": "9 mm"}, "sampling.length: 9 mm is below"),
        ({"breadth": "1 m"}, "sampling: give either breadth, of a rectangle, or diameter"),
        ({"diameter": None}, "sampling: give either breadth, of a rectangle, or diameter"),
        ({"rule": "one_each"}, "sampling.one_each: belongs to the rule one_each"),
        ({"one_each": "1 m2"}, "sampling.one_each: belongs to the rule one_each"),
        ({"spacing": "1 m"}, "sampling: 10 places do not fit"),
        ({"rule": "one_each", "one_each": "0.001 m2"}, "sampling: 2036 places are more than 2000"),
        ({"colour": "red"}, "sampling.colour: unknown"),
    ],
)
def test_a_request_that_makes_no_sense_is_refused_by_field(
    changed: dict[str, Any], said: str
) -> None:
    with pytest.raises(InvalidValue) as caught:
        propose_case(PIPE | changed)

    assert str(caught.value).startswith(said)


@pytest.mark.parametrize("request_", [None, [], "pa2", 3])
def test_what_is_no_object_is_no_request(request_: Any) -> None:
    with pytest.raises(InvalidValue, match="^sampling: "):
        propose_case(request_)


@given(
    st.sampled_from(["iso19840", "pa2", "90-10", "profile", "comparator", "salts"]),
    st.integers(500, 30_000),
    st.integers(300, 10_000),
    st.booleans(),
    st.integers(0, 40),
    st.text("xyz", min_size=1, max_size=3),
)
def test_places_lie_on_the_surface_and_keep_their_distance(
    rule: str, length: int, other: int, is_pipe: bool, spacing: int, seed: str
) -> None:
    request = {"rule": rule, "seed": seed, "length": f"{length} mm", "spacing": f"{spacing} mm"}
    request |= {"diameter": f"{other / 4} mm"} if is_pipe else {"breadth": f"{other} mm"}

    found = propose_case(request)

    assert propose_case(request) == found
    breadth = Fraction(other) / 4 * Fraction("3.14160") if is_pipe else Fraction(other)
    points = [(metres(p, "along") * 1000, metres(p, "across") * 1000) for p in found["places"]]
    assert len(set(points)) == len(points)
    for i, (along, across) in enumerate(points):
        assert 0 <= along < length
        assert 0 <= across < breadth
        for other_along, other_across in points[:i]:
            around = abs(across - other_across)
            if is_pipe:
                around = min(around, breadth - around)
            assert max(abs(along - other_along), around) >= spacing - Fraction(1, 100)
