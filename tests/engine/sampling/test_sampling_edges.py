"""Sampling at its edges: the most places, inspection areas of their size, parts that just fit."""

from typing import Any

import pytest

from qc.engine.fields import InvalidValue
from qc.engine.quantities import Quantity
from qc.engine.sampling import Rule, demand, propose_case
from qc.engine.sampling.draws import Draws
from qc.engine.sampling.strata import NoRoom, Patch, drawn, part_of
from qc.engine.sampling.surface import Surface

SHEET = {"rule": "one_each", "seed": "s", "length": "2 m", "breadth": "1 m"}


@pytest.mark.parametrize(("area", "size"), [("2500 ft2", "100 ft2"), ("250 m2", "10 m2")])
def test_an_inspection_area_is_a_hundred_square_feet_or_ten_square_metres(
    area: str, size: str
) -> None:
    """SSPC-PA 2: areas of 10 m2 or 100 ft2, five spots of three readings in each."""
    asked = demand(Rule.PA2, Quantity.parse(area))

    assert asked.area_size == Quantity.parse(size)
    assert asked.source


def test_two_thousand_places_are_proposed_and_one_more_is_not() -> None:
    assert len(propose_case(SHEET | {"one_each": "0.001 m2"})["places"]) == 2000
    with pytest.raises(InvalidValue, match="sampling: 2002 places are more than 2000"):
        propose_case(SHEET | {"length": "2.002 m", "one_each": "0.001 m2"})


def test_a_rule_without_inspection_areas_asks_for_one_reading_at_each_place() -> None:
    found = propose_case(SHEET | {"one_each": "1 m2"})

    assert (found["area"], found["readings_each"], found["notes"]) == ("2 m2", 1, [])
    assert found["source"] == "one place for each 1 m2, as asked"


@pytest.mark.parametrize(
    ("rule", "area", "note"),
    [
        (Rule.NINETY_TEN, "10 m2", "edges, welds and stiffeners come on top"),
        (Rule.PROFILE, "10 m2", "how many readings are taken at each place"),
        (Rule.SALTS, "10 m2", "welds, pits and rusted places"),
        (Rule.ISO19840, "1001 m2", "divided into several inspection areas"),
    ],
)
def test_what_the_number_leaves_out_is_noted(rule: Rule, area: str, note: str) -> None:
    (said,) = demand(rule, Quantity.parse(area)).notes

    assert note in said


@pytest.mark.parametrize(("least", "places", "areas"), [(15, 15, 3), (16, 20, 4), (20, 20, 4)])
def test_more_places_than_the_rule_asks_for_are_whole_inspection_areas(
    least: int, places: int, areas: int
) -> None:
    """SSPC-PA 2: 250 ft2 have three areas with five spots each."""
    request = {"rule": "pa2", "seed": "s", "length": "25 ft", "breadth": "10 ft"}

    found = propose_case(request | {"places_min": least})["places"]

    assert len(found) == places
    assert {place["area"] for place in found} == set(range(1, areas + 1))


def test_a_part_that_just_fits_lies_anywhere_it_fits() -> None:
    """Two of three cells in a row: from the first or from the second."""
    seen = {part_of(Patch(0, 0, 3, 1), 2, Draws(str(seed))) for seed in range(20)}

    assert seen == {Patch(0, 0, 2, 1), Patch(1, 0, 3, 1)}


def test_a_part_of_a_column_lies_anywhere_it_fits() -> None:
    seen = {part_of(Patch(5, 7, 6, 10), 2, Draws(str(seed))) for seed in range(20)}

    assert seen == {Patch(5, 7, 6, 9), Patch(5, 8, 6, 10)}


def test_a_part_as_large_as_the_patch_is_the_patch() -> None:
    patch = Patch(1, 1, 4, 3)

    assert part_of(patch, 6, Draws("a")) == part_of(patch, 7, Draws("a")) == patch
    assert part_of(patch, 5, Draws("a")) != patch


@pytest.mark.parametrize(("spacing", "room"), [(0, 1), (1, 3), (2, 3), (3, 5), (4, 5)])
def test_half_the_spacing_rounded_up_is_kept_on_every_side(spacing: int, room: int) -> None:
    fits, small = Patch(0, 0, room, room), Patch(0, 0, room, room - 1)

    assert drawn([fits], spacing, Draws("a")) == [(room // 2, room // 2)]
    for refused in (small, Patch(0, 0, room - 1, room)):
        with pytest.raises(NoRoom, match="1 place does not fit"):
            drawn([refused], spacing, Draws("a"))


@pytest.mark.parametrize(("bound", "refused"), [(1, False), (0, True), (-1, True)])
def test_a_draw_has_something_to_draw_from(bound: int, refused: bool) -> None:
    if refused:
        with pytest.raises(ValueError, match=f"from 0 to below {bound}"):
            Draws("a").below(bound)
    else:
        assert Draws("a").below(bound) == 0


@pytest.mark.parametrize(
    ("distance", "cells"), [("1 mm", 1), ("1.001 mm", 2), ("1.999 mm", 2), ("0 mm", 0)]
)
def test_a_spacing_is_rounded_up_to_whole_cells(distance: str, cells: int) -> None:
    surface = Surface(Quantity.parse("1 m"), Quantity.parse("1 m"))

    assert surface.cells_along(Quantity.parse(distance)) == cells


def test_a_grid_in_feet_has_cells_of_a_hundredth() -> None:
    surface = Surface(Quantity.parse("20 ft"), Quantity.parse("120 in"))

    assert surface.patch == Patch(0, 0, 2000, 1000)
    assert surface.cells_in(Quantity.parse("1 ft2")) == 10_000
    assert str(surface.distance(150)) == "1.50 ft"
    assert str(surface.area) == "200 ft2"
    assert surface.clock(10) == ""


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"places_min": 0}, "sampling.places_min: 0 is below 1"),
        ({"places_min": 1001}, "sampling.places_min: 1001 is above 1000"),
        ({"spacing": "-1 mm"}, "sampling.spacing: -1 mm is below 0"),
        ({"breadth": "9.9 mm"}, "sampling.breadth: 9.9 mm is below 10 mm"),
        ({"one_each": "0.0009 m2"}, "sampling.one_each: 0.0009 m2 is below 0.001 m2"),
    ],
)
def test_a_request_out_of_bounds_is_refused_by_field(changed: dict[str, Any], said: str) -> None:
    with pytest.raises(InvalidValue) as refused:
        propose_case(SHEET | {"one_each": "1 m2"} | changed)

    assert str(refused.value).startswith(said)
