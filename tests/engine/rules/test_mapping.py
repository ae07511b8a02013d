"""Mapping a nonconforming place goes on until two places in a row conform or the surface ends."""

from hypothesis import given
from hypothesis import strategies as st

from qc.engine.rules import Finding, MappedPlace, Outcome, mapping_findings


def way(direction: str, conforming: str, ends: bool = False) -> list[MappedPlace]:
    """Places outwards, "+" for each that conforms and "-" for each that does not."""
    last = len(conforming) - 1
    return [
        MappedPlace("spot 3", direction, sign == "+", ends and i == last)
        for i, sign in enumerate(conforming)
    ]


def only(places: list[MappedPlace]) -> Finding:
    (found,) = mapping_findings("x.mapping", places, 4, "source")
    return found


def test_two_conforming_places_in_a_row_end_a_direction() -> None:
    found = only(way("up", "++"))

    assert found.outcome is Outcome.CONFORMS
    assert found.statement == "1 of 4 directions mapped around spot 3."


def test_one_conforming_place_is_not_enough() -> None:
    found = only(way("up", "+"))

    assert found.outcome is Outcome.INCOMPLETE
    assert "go on towards up" in found.statement


def test_the_end_of_the_surface_ends_a_direction() -> None:
    assert only(way("up", "+", ends=True)).outcome is Outcome.CONFORMS


def test_a_conforming_place_between_two_others_ends_nothing() -> None:
    found = only(way("up", "-+-+"))

    assert found.outcome is Outcome.DOES_NOT_CONFORM
    assert "go on towards up" in found.statement


def test_the_extent_is_the_last_place_that_does_not_conform() -> None:
    found = only([*way("up", "-+-++"), *way("left", "++"), *way("down", "-", ends=True)])

    assert found.outcome is Outcome.DOES_NOT_CONFORM
    assert "3 of 4 directions" in found.statement
    assert "nonconforming area: up 3, down 1." in found.statement
    assert "go on" not in found.statement


def test_each_place_mapped_around_has_its_own_finding() -> None:
    other = MappedPlace("spot 9", "up", True, True)

    found = mapping_findings("x.mapping", [*way("up", "-"), other], 4, "source")

    assert [f.outcome for f in found] == [Outcome.DOES_NOT_CONFORM, Outcome.CONFORMS]


def test_a_direction_without_a_name_is_one_direction() -> None:
    found = only([MappedPlace("spot 3", "", True)])

    assert "go on towards (unnamed)" in found.statement


def test_every_direction_may_be_asked_for() -> None:
    """SSPC-PA 17, read second-hand: four directions; none is left out in silence."""
    three = [place for name in ("up", "down", "left") for place in way(name, "++")]
    fourth = MappedPlace("spot 3", "right", True, ends=True, measured=False)

    (lacking,) = mapping_findings("x.mapping", three, 4, "source", in_each=True)
    (whole,) = mapping_findings("x.mapping", [*three, fourth], 4, "source", in_each=True)

    assert lacking.outcome is Outcome.INCOMPLETE
    assert lacking.statement == (
        "3 of 4 directions mapped around spot 3; take the others too, or state where the surface "
        "leaves no room."
    )
    assert whole.outcome is Outcome.CONFORMS
    assert whole.observed == lacking.observed == "6"
    (worse,) = mapping_findings("x.mapping", [*three, *way("right", "-")], 4, "s", in_each=True)
    assert worse.outcome is Outcome.DOES_NOT_CONFORM


@given(st.lists(st.text("+-", min_size=1, max_size=6), min_size=1, max_size=4), st.data())
def test_a_place_that_turns_bad_never_improves_the_finding(
    ways: list[str], data: st.DataObject
) -> None:
    places = [place for i, signs in enumerate(ways) for place in way(str(i), signs)]
    worse = list(places)
    index = data.draw(st.integers(0, len(places) - 1))
    worse[index] = MappedPlace("spot 3", places[index].direction, False)
    order = list(Outcome)

    assert order.index(only(worse).outcome) <= order.index(only(places).outcome)
