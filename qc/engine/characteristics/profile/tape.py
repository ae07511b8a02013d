"""Replica tape: taking off the film, and the overlap of two tape grades."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from qc.engine.fields import Values
from qc.engine.formulas.statistics import difference
from qc.engine.quantities import Quantity
from qc.engine.standards.tables import load_tables

_TAPE = load_tables("qc.engine.characteristics.profile")["tape"]
_OTHER = {"coarse": "x_coarse", "x_coarse": "coarse"}


@dataclass(frozen=True)
class TapeReading:
    """The profile a tape shows, film taken off, and the grade of the tape ("" if not recorded)."""

    profile: Quantity
    grade: str

    @property
    def in_overlap(self) -> bool:
        """True from 38 to 64 um, or 1.5 to 2.5 mil in US units, both included."""
        system = _system(self.profile.unit)
        low, high = (
            Quantity(Decimal(system[f"overlap_{k}"]), system["unit"]) for k in ("from", "to")
        )
        return low <= self.profile <= high


def _system(unit: str) -> dict[str, Any]:
    """The figures in the system of units in which the value was entered."""
    found: dict[str, Any] = _TAPE["us" if unit in ("mil", "in", "ft") else "metric"]
    return found


def without_film(value: Quantity) -> Quantity:
    """The gauge value less the film, 50 um or 2.0 mil; below zero if the gauge value was less."""
    system = _system(value.unit)
    return difference(value, Quantity(Decimal(system["film"]), system["unit"]))


def tapes_of(reading: Values) -> list[TapeReading]:
    """Each value with its grade; one grade given for several values stands for all."""
    values = reading.quantities("values")
    if reading.flag("film_included"):
        values = tuple(without_film(value) for value in values)
    grades = list(reading.texts("tape_grades"))
    if len(grades) == 1:
        grades *= len(values)
    grades += [""] * (len(values) - len(grades))
    return [TapeReading(v, g) for v, g in zip(values, grades, strict=False)]


def outside_range(tape: TapeReading) -> str:
    """What to say of a profile outside the range of its tape grade; "" inside or ungraded."""
    if not tape.grade:
        return ""
    unit = _TAPE["range"]["unit"]
    low, high = (Quantity(Decimal(figure), unit) for figure in _TAPE["range"][tape.grade])
    if low <= tape.profile <= high:
        return ""
    grade = tape.grade.replace("_", " ")
    return f"{tape.profile} lies outside {low} to {high}, the range of {grade} tape"


def recorded(tapes: Sequence[TapeReading]) -> tuple[list[Quantity], list[TapeReading]]:
    """(the profiles to record, the readings that still need the other grade at the same spot).

    Two neighbours of grades coarse and x coarse, at least one of them in the overlap, are a pair:
    both inside it count as their mean, else the one outside is recorded.
    """
    values: list[Quantity] = []
    alone: list[TapeReading] = []
    rest = list(tapes)
    while rest:
        first = rest.pop(0)
        if rest and _is_pair(first, rest[0]):
            values.append(_of_pair(first, rest.pop(0)))
        elif first.grade in _OTHER and first.in_overlap:
            alone.append(first)
        else:
            values.append(first.profile)
    return values, alone


def _is_pair(first: TapeReading, second: TapeReading) -> bool:
    other = _OTHER.get(first.grade)
    return other == second.grade and (first.in_overlap or second.in_overlap)


def _of_pair(first: TapeReading, second: TapeReading) -> Quantity:
    if not first.in_overlap:
        return first.profile
    if not second.in_overlap:
        return second.profile
    unit = first.profile.unit
    both = Fraction(first.profile.magnitude) + Fraction(second.profile.magnitude_in(unit))
    return Quantity(both / 2, unit)
