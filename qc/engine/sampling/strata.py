"""Splits a rectangle into strata of equal area and draws one place in each; whole numbers only."""

from dataclasses import dataclass
from math import isqrt

from qc.engine.rules import counted
from qc.engine.sampling.draws import Draws


class NoRoom(ValueError):
    """So many places do not fit so far apart; the message says what would help."""


@dataclass(frozen=True)
class Patch:
    """The cells from (left, low) up to, but without, (right, high)."""

    left: int
    low: int
    right: int
    high: int

    @property
    def width(self) -> int:
        """Cells from left to right."""
        return self.right - self.left

    @property
    def height(self) -> int:
        """Cells from low to high."""
        return self.high - self.low

    def shrunk(self, by: int) -> "Patch":
        """Without `by` cells on each side."""
        return Patch(self.left + by, self.low + by, self.right - by, self.high - by)


def strata(patch: Patch, count: int) -> list[Patch]:
    """`patch` in `count` parts whose areas differ by less than a row of cells; no part overlaps.

    The longer side is cut in proportion to the halves of the number, again and again, which keeps
    the parts near to squares for any number.
    """
    if count == 1:
        return [patch]
    first = count // 2
    if patch.width >= patch.height:
        cut = patch.left + patch.width * first // count
        parts = (
            Patch(patch.left, patch.low, cut, patch.high),
            Patch(cut, patch.low, patch.right, patch.high),
        )
    else:
        cut = patch.low + patch.height * first // count
        parts = (
            Patch(patch.left, patch.low, patch.right, cut),
            Patch(patch.left, cut, patch.right, patch.high),
        )
    return [*strata(parts[0], first), *strata(parts[1], count - first)]


def drawn(patches: list[Patch], spacing: int, draws: Draws) -> list[tuple[int, int]]:
    """A cell drawn in each of `patches`, which do not overlap; NoRoom if one has no room for it.

    Half of `spacing` is left free along every side of a patch. Two parts of a rectangle lie on
    either side of a straight cut, so their cells come no closer than `spacing` along or across,
    and keep half of it from the edges.
    """
    inner = [patch.shrunk((spacing + 1) // 2) for patch in patches]
    if any(patch.width < 1 or patch.height < 1 for patch in inner):
        do = "does" if len(patches) == 1 else "do"
        said = f"{counted(len(patches), 'place')} {do} not fit"
        raise NoRoom(f"{said}: ask for fewer, or for less distance")
    return [
        (patch.left + draws.below(patch.width), patch.low + draws.below(patch.height))
        for patch in inner
    ]


def part_of(patch: Patch, cells: int, draws: Draws) -> Patch:
    """A part of at most `cells`, above 0, drawn inside `patch`, of its shape as far as can be."""
    if patch.width * patch.height <= cells:
        return patch
    width = max(1, isqrt(cells * patch.width // max(1, patch.height)))
    width = min(width, patch.width, cells)
    height = max(1, min(patch.height, cells // width))
    left = patch.left + draws.below(patch.width - width + 1)
    low = patch.low + draws.below(patch.height - height + 1)
    return Patch(left, low, left + width, low + height)
