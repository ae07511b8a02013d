"""Gathers readings by location and finds the value of each location."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.profile.tape import TapeReading, recorded, tape_readings
from qc.engine.fields import Values
from qc.engine.formulas.statistics import in_one_unit, mean
from qc.engine.quantities import Magnitude, Quantity

UNKNOWN_GRADE = "the grade of the tape is not recorded"


@dataclass
class Location:
    """The readings of one place. `problem` says why they cannot be used; `alone` are tape readings
    that lack their second grade."""

    name: str
    values: list[Quantity] = field(default_factory=list)
    alone: list[TapeReading] = field(default_factory=list)
    problem: str = ""
    flags: list[str] = field(default_factory=list)

    def value(self, statistic: str, unit: str) -> Magnitude | None:
        """The mean or highest reading in `unit`; None while the location cannot be judged."""
        if self.problem or self.alone or not self.values:
            return None
        magnitudes = in_one_unit(self.values, unit)
        return Fraction(max(magnitudes)) if statistic == "max" else mean(magnitudes)


def gathered(
    criteria: Criteria, readings: Sequence[Values]
) -> tuple[list[Location], list[Location]]:
    """(the distinct locations, the location of each reading).

    Readings that name the same location are one location; a reading without a name is its own.
    """
    by_name: dict[str, Location] = {}
    of_reading = []
    for number, reading in enumerate(readings, 1):
        name = reading.text("location") or f"reading {number}"
        location = by_name.setdefault(name.casefold(), Location(name))
        _add(location, criteria, reading)
        of_reading.append(location)
    return list(by_name.values()), of_reading


def _add(location: Location, criteria: Criteria, reading: Values) -> None:
    if criteria.text("method") != "replica_tape":
        _add_plain(location, reading)
        return
    tapes = tape_readings(reading)
    location.problem = location.problem or _tape_problem(criteria, reading, tapes)
    if reading.flag("film_included") is None:
        location.flags.append(
            f"profile.film: {location.name}: not stated whether the figure includes the film; "
            f"taken as already subtracted"
        )
    if criteria.flag("overlap_rule") is False:
        location.values += [tape.profile for tape in tapes]
        return
    if any(tape.in_overlap and not tape.grade for tape in tapes):
        location.flags.append(
            f"profile.overlap: {location.name}: {UNKNOWN_GRADE}; overlap rule not applied"
        )
    values, alone = recorded(tapes)
    location.values += values
    location.alone += alone


def _add_plain(location: Location, reading: Values) -> None:
    location.values += reading.quantities("values")
    if reading.flag("film_included"):
        location.problem = "a film is included although the method is not replica tape"


def _tape_problem(criteria: Criteria, reading: Values, tapes: Sequence[TapeReading]) -> str:
    if len(reading.texts("tape_grades")) > len(tapes):
        return "more tape grades than readings"
    if any(tape.profile.magnitude < 0 for tape in tapes):
        return "the gauge value is less than the film it is said to include"
    asked = criteria.flag("overlap_rule")
    if asked and any(tape.in_overlap and not tape.grade for tape in tapes):
        return f"{UNKNOWN_GRADE}, and the reading lies where two grades overlap"
    return ""
