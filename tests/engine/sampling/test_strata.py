"""Strata cover the surface once, and hold one place each."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.sampling.draws import Draws
from qc.engine.sampling.strata import NoRoom, Patch, drawn, part_of, strata

sides = st.integers(200, 5000)
counts = st.integers(1, 60)


def overlap(one: Patch, other: Patch) -> bool:
    beside = one.right <= other.left or other.right <= one.left
    above = one.high <= other.low or other.high <= one.low
    return not beside and not above


@pytest.mark.parametrize(
    ("count", "parts"),
    [
        (1, [Patch(0, 0, 400, 300)]),
        (2, [Patch(0, 0, 200, 300), Patch(200, 0, 400, 300)]),
        (3, [Patch(0, 0, 133, 300), Patch(133, 0, 400, 150), Patch(133, 150, 400, 300)]),
        (
            4,
            [
                Patch(0, 0, 200, 150),
                Patch(0, 150, 200, 300),
                Patch(200, 0, 400, 150),
                Patch(200, 150, 400, 300),
            ],
        ),
    ],
)
def test_the_longer_side_is_cut_again_and_again(count: int, parts: list[Patch]) -> None:
    """400 by 300 cells, cut by hand."""
    assert strata(Patch(0, 0, 400, 300), count) == parts


@given(sides, sides, counts)
def test_strata_cover_the_surface_once(width: int, height: int, count: int) -> None:
    parts = strata(Patch(0, 0, width, height), count)

    assert len(parts) == count
    assert sum(part.width * part.height for part in parts) == width * height
    assert not any(overlap(a, b) for i, a in enumerate(parts) for b in parts[:i])


@given(sides, sides, counts)
def test_strata_are_equally_large_but_for_rows_of_cells(
    width: int, height: int, count: int
) -> None:
    fair = width * height / count

    for part in strata(Patch(0, 0, width, height), count):
        assert abs(part.width * part.height - fair) <= 2 * (width + height)


@given(sides, sides, counts, st.text("abc", min_size=1), st.data())
def test_each_stratum_has_one_place_and_places_keep_their_distance(
    width: int, height: int, count: int, seed: str, data: st.DataObject
) -> None:
    parts = strata(Patch(0, 0, width, height), count)
    narrowest = min(min(part.width, part.height) for part in parts)
    spacing = data.draw(st.integers(0, max(0, narrowest - 2)))

    cells = drawn(parts, spacing, Draws(seed))

    assert len(cells) == count
    for part, (along, across) in zip(parts, cells, strict=True):
        assert part.left <= along < part.right
        assert part.low <= across < part.high
    for i, (along, across) in enumerate(cells):
        assert spacing / 2 <= along <= width - spacing / 2
        assert spacing / 2 <= across <= height - spacing / 2
        for other_along, other_across in cells[:i]:
            assert max(abs(along - other_along), abs(across - other_across)) >= spacing


def test_places_that_do_not_fit_are_refused() -> None:
    four = strata(Patch(0, 0, 20, 20), 4)

    assert len(drawn(four, 8, Draws("a"))) == 4
    with pytest.raises(NoRoom, match="4 places do not fit"):
        drawn(four, 10, Draws("a"))
    with pytest.raises(NoRoom):
        drawn(strata(Patch(0, 0, 2, 2), 5), 0, Draws("a"))


@given(sides, sides, st.integers(1, 30_000_000), st.text("abc", min_size=1))
def test_a_part_lies_inside_and_is_as_large_as_asked(
    width: int, height: int, cells: int, seed: str
) -> None:
    whole = Patch(7, 11, 7 + width, 11 + height)

    part = part_of(whole, cells, Draws(seed))

    assert whole.left <= part.left < part.right <= whole.right
    assert whole.low <= part.low < part.high <= whole.high
    assert part.width * part.height <= cells
    assert part == whole or part.width * part.height > cells - part.width
