"""Mapping the extent of a nonconforming place: outwards in several directions until it is left."""

from collections.abc import Sequence
from dataclasses import dataclass

from qc.engine.rules.verdict import Finding, Outcome

IN_A_ROW = 2
"""Conforming places in a row that end a direction (SSPC-PA 2 and SSPC-PA 17, read second-hand)."""


@dataclass(frozen=True)
class MappedPlace:
    """A place on the way outwards from `around`; `ends` where the surface ends there.

    Where the surface ends before any place, nothing is `measured`, and it `conforms`.
    """

    around: str
    direction: str
    conforms: bool
    ends: bool = False
    measured: bool = True


def mapping_findings(
    rule: str,
    places: Sequence[MappedPlace],
    directions: int,
    source: str,
    *,
    in_each: bool = False,
) -> list[Finding]:
    """One finding for each place mapped around; places stand in the order of going outwards.

    A place that does not conform adds to the extent and fails; a direction that has not yet come
    to two conforming places in a row, or to the end of the surface, is incomplete. With `in_each`
    so is the whole while fewer than `directions` are mapped.
    """
    by_centre: dict[str, list[MappedPlace]] = {}
    for place in places:
        by_centre.setdefault(place.around, []).append(place)
    least = directions if in_each else 0
    return [
        _finding(rule, around, found, (directions, least), source)
        for around, found in by_centre.items()
    ]


def _finding(
    rule: str,
    around: str,
    places: Sequence[MappedPlace],
    directions: tuple[int, int],
    source: str,
) -> Finding:
    """`directions` are those there are, and the least number that must be mapped."""
    taken: dict[str, list[MappedPlace]] = {}
    for place in places:
        taken.setdefault(place.direction, []).append(place)
    still_open = [name or "(unnamed)" for name, way in taken.items() if not _is_closed(way)]
    said = [f"{len(taken)} of {directions[0]} directions mapped around {around}"]
    too_few = len(taken) < directions[1]
    if too_few:
        said.append("take the others too, or state where the surface leaves no room")
    if still_open:
        said.append(f"go on towards {', '.join(still_open)}")
    extent = [f"{name} {_reach(way)}" for name, way in taken.items() if _reach(way)]
    if extent:
        said.append(f"places outwards that belong to the nonconforming area: {', '.join(extent)}")
    return Finding(
        rule=rule,
        outcome=_outcome(places, bool(still_open) or too_few),
        observed=str(sum(place.measured for place in places)),
        limit=f"{IN_A_ROW} conforming places in a row in each direction",
        statement="; ".join(said) + ".",
        source=source,
    )


def _outcome(places: Sequence[MappedPlace], is_open: bool) -> Outcome:
    if not all(place.conforms for place in places):
        return Outcome.DOES_NOT_CONFORM
    return Outcome.INCOMPLETE if is_open else Outcome.CONFORMS


def _is_closed(way: Sequence[MappedPlace]) -> bool:
    last = way[-IN_A_ROW:]
    return way[-1].ends or (len(last) == IN_A_ROW and all(place.conforms for place in last))


def _reach(way: Sequence[MappedPlace]) -> int:
    """How many places outwards the last one that does not conform stands; 0 if all do."""
    return max((i for i, place in enumerate(way, 1) if not place.conforms), default=0)
