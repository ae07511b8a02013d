"""A proposal of where to measure: as many places as the rule asks for, spread and drawn."""

from dataclasses import dataclass, replace
from typing import Any

from qc.engine.quantities import Quantity
from qc.engine.sampling.demand import Demand
from qc.engine.sampling.draws import GENERATOR, Draws
from qc.engine.sampling.strata import NoRoom, Patch, drawn, part_of, strata
from qc.engine.sampling.surface import Surface

MOST_PLACES = 2000
"""More than an inspector takes; a greater demand is a mistake in the area."""


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where to measure: `along` and `across` from the edges, on a pipe from its start and its top.

    `area` is the number of the inspection area, from 1; 0 where the rule has none.
    """

    number: int
    along: Quantity
    across: Quantity
    clock: str = ""
    area: int = 0

    def as_case(self) -> dict[str, Any]:
        """JSON types only."""
        found: dict[str, Any] = {"number": self.number}
        if self.area:
            found["area"] = self.area
        found |= {"along": str(self.along), "across": str(self.across)}
        return found | ({"clock": self.clock} if self.clock else {})


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """What is asked for, and where; the same from the same seed on any machine."""

    demand: Demand
    places: tuple[Place, ...]
    seed: str
    surface: Surface

    def as_case(self) -> dict[str, Any]:
        """JSON types only."""
        return {
            "area": str(self.surface.area),
            "places": [place.as_case() for place in self.places],
            "readings_each": self.demand.readings_each,
            "source": self.demand.source,
            "notes": list(self.demand.notes),
            "seed": self.seed,
            "generator": GENERATOR,
        }


def propose(
    wanted: Demand, surface: Surface, seed: str, spacing: Quantity | None = None
) -> Proposal:
    """Places for `wanted` on `surface`, one drawn in each of equally large strata.

    `spacing` is the least distance between two places, of which half is kept from the edges.
    NoRoom where they do not fit. A place proposed is where to start: what cannot be reached, or
    looks worse elsewhere, is the inspector's to change and to write down.
    """
    if wanted.places > MOST_PLACES:
        raise NoRoom(f"{wanted.places} places are more than {MOST_PLACES}")
    draws = Draws(seed)
    apart = surface.cells_along(spacing) if spacing else 0
    patches = _patches(wanted, surface, draws)
    each = wanted.places // len(patches)
    places = [
        Place(
            number=0,
            along=surface.distance(along),
            across=surface.distance(across),
            clock=surface.clock(across),
            area=number if wanted.areas else 0,
        )
        for number, patch in enumerate(patches, 1)
        for along, across in drawn(strata(patch, each), apart, draws)
    ]
    numbered = tuple(replace(place, number=number) for number, place in enumerate(places, 1))
    return Proposal(demand=wanted, places=numbered, seed=seed, surface=surface)


def _patches(wanted: Demand, surface: Surface, draws: Draws) -> list[Patch]:
    """The surface, or its inspection areas: one drawn in each of as many strata."""
    if not wanted.areas or wanted.area_size is None:
        return [surface.patch]
    cells = surface.cells_in(wanted.area_size)
    return [part_of(stratum, cells, draws) for stratum in strata(surface.patch, wanted.areas)]
