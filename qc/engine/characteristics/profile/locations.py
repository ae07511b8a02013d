"""Gathers readings by location and finds the value of each location."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.profile import comparator
from qc.engine.characteristics.profile.mapping import leaves_no_room
from qc.engine.characteristics.profile.tape import TapeReading, outside_range, recorded, tapes_of
from qc.engine.fields import Values
from qc.engine.formulas.statistics import in_one_unit, mean
from qc.engine.quantities import Magnitude, Quantity

_NO_GRADE = "the grade of the tape is not recorded"


@dataclass
class Location:
    """The readings of one place.

    `values` are the profiles they record, `alone` the tape readings that lack their second grade,
    `segments` what a comparator showed. `problem` says why they cannot be used.
    """

    name: str
    values: list[Quantity] = field(default_factory=list)
    alone: list[TapeReading] = field(default_factory=list)
    segments: list[int] = field(default_factory=list)
    problem: str = ""
    flags: list[str] = field(default_factory=list)

    @property
    def count(self) -> int:
        """How many readings were taken; a pair of tapes of two grades is one."""
        return len(self.values) + len(self.alone) + len(self.segments)

    def value(self, statistic: str, unit: str) -> Magnitude | None:
        """The mean or highest reading in `unit`; None while the location cannot be judged."""
        if self.problem or self.alone or not self.values:
            return None
        magnitudes = in_one_unit(self.values, unit)
        return mean(magnitudes) if statistic == "mean" else Fraction(max(magnitudes))


def gathered(
    criteria: Criteria, readings: Sequence[tuple[int, Values]]
) -> tuple[list[Location], list[Location]]:
    """(the distinct locations, the location of each reading) of numbered readings.

    Readings that name the same location are one location; a reading without a name is its own.
    """
    by_name: dict[str, Location] = {}
    of_reading = []
    for number, reading in readings:
        name = reading.text("location") or f"reading {number}"
        location = by_name.setdefault(name.casefold(), Location(name))
        _add(location, criteria, reading)
        of_reading.append(location)
    return list(by_name.values()), of_reading


def _add(location: Location, criteria: Criteria, reading: Values) -> None:
    segment = comparator.seen_segment(reading)
    if segment is not None:
        location.segments.append(segment)
    location.problem = location.problem or _problem(criteria, reading)
    if criteria.text("method") == "replica_tape":
        _add_tapes(location, criteria, reading)
    else:
        location.values += reading.quantities("values")
    if len(set(location.segments)) > 1:
        location.problem = location.problem or "two grades are given for one location"


def _problem(criteria: Criteria, reading: Values) -> str:
    if leaves_no_room(reading):
        return ""
    if not reading.given & {"values", "grade", "segment"}:
        return "no value and no grade is given"
    if criteria.text("method", "replica_tape") != "replica_tape" and reading.flag("film_included"):
        return "a film is included although the method is not replica tape"
    return comparator.problem(reading, criteria.text("comparator"))


def _add_tapes(location: Location, criteria: Criteria, reading: Values) -> None:
    tapes = tapes_of(reading)
    location.problem = location.problem or _tape_problem(criteria, reading, tapes)
    location.flags += [f"{rule}: {location.name}: {said}" for rule, said in _tape_flags(reading)]
    if criteria.flag("overlap_rule") is False:
        location.values += [tape.profile for tape in tapes]
        return
    if any(tape.in_overlap and not tape.grade for tape in tapes):
        location.flags.append(
            f"profile.overlap: {location.name}: {_NO_GRADE}; overlap rule not applied"
        )
    values, alone = recorded(tapes)
    location.values += values
    location.alone += alone


def _tape_problem(criteria: Criteria, reading: Values, tapes: Sequence[TapeReading]) -> str:
    if len(reading.texts("tape_grades")) > len(tapes):
        return "more tape grades than readings"
    if any(tape.profile.magnitude < 0 for tape in tapes):
        return "the gauge value is less than the film it is said to include"
    if criteria.flag("overlap_rule") and any(t.in_overlap and not t.grade for t in tapes):
        return f"{_NO_GRADE}, and the reading lies where two grades overlap"
    return ""


def _tape_flags(reading: Values) -> list[tuple[str, str]]:
    flags = []
    if reading.flag("film_included") is None and "values" in reading:
        said = "not stated whether the figure includes the film; taken as already subtracted"
        flags.append(("profile.film", said))
    flags += [
        ("profile.tape_range", said) for said in map(outside_range, tapes_of(reading)) if said
    ]
    return flags
