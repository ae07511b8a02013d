"""The readings as judged: thickness out of each, in one unit, less the correction."""

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from itertools import accumulate, chain

from qc.engine.characteristic import Criteria
from qc.engine.fields import Values
from qc.engine.formulas.column import Column
from qc.engine.formulas.statistics import difference, in_one_unit, mean, totals
from qc.engine.quantities import Magnitude, Quantity
from qc.engine.rules import counted
from qc.engine.standards.tables import load_tables

_DISTANCES = frozenset({"datum_before", "datum_after"})
_CORRECTION = load_tables("qc.engine.characteristics.thickness")["correction"]


@dataclass(frozen=True)
class Taken:
    """Readings with their numbers in the record, from 1."""

    numbers: list[int]
    readings: list[Values]

    def __iter__(self) -> Iterator[tuple[int, Values]]:
        return zip(self.numbers, self.readings, strict=True)

    def __len__(self) -> int:
        return len(self.numbers)

    @cached_property
    def given(self) -> frozenset[str]:
        """The fields that any of the readings gives; most give only their values."""
        return frozenset().union(*(reading.given for reading in self.readings))

    def where(self, keep: Callable[[Values], bool]) -> "Taken":
        """The readings for which `keep` is true."""
        kept = [(number, reading) for number, reading in self if keep(reading)]
        return Taken([number for number, _ in kept], [reading for _, reading in kept])


@dataclass(frozen=True)
class Measured:
    """Corrected values of some readings in the given order.

    `ends[i]` counts the values up to and with the reading at `i`, `numbers[i]` is what that
    reading is called in the record.
    """

    column: Column
    ends: list[int]
    numbers: list[int]

    @cached_property
    def counts(self) -> list[int]:
        """How many values each reading has."""
        return [end - start for start, end in zip([0, *self.ends], self.ends, strict=False)]

    @cached_property
    def means(self) -> Column:
        """The mean of each reading; kept as sums where all have equally many values."""
        column, sums = self.column, totals(self.column.entered, self.ends)
        if len(set(self.counts)) == 1:
            return Column(sums, column.unit, column.scale / self.counts[0], column.shift)
        means = [Fraction(s) / n for s, n in zip(sums, self.counts, strict=True)]
        return Column(means, column.unit, column.scale, column.shift)

    def name(self, position: int) -> str:
        """What the value at `position` of all is called: "reading 2 value 1"."""
        index = bisect_right(self.ends, position)
        single = self.ends[index] - self._start(index) == 1
        value = "" if single else f" value {position - self._start(index) + 1}"
        return f"reading {self.numbers[index]}{value}"

    def positions(self, indexes: Sequence[int]) -> list[int]:
        """Where the values of the readings at `indexes` stand in the column."""
        return [p for i in indexes for p in range(self._start(i), self.ends[i])]

    def part(self, positions: Sequence[int]) -> Column:
        """The values at `positions` alone."""
        whole = self.column
        return Column([whole.entered[p] for p in positions], whole.unit, whole.scale, whole.shift)

    def _start(self, index: int) -> int:
        return self.ends[index - 1] if index else 0


def thicknesses(reading: Values) -> tuple[Quantity, ...]:
    """The values of a reading, or the differences of its distances before and after.

    A caliper over the wall reads more after the repair, a depth gauge from a datum less.
    """
    values = reading.quantities("values")
    if values:
        return values
    before, after = reading.quantities("datum_before"), reading.quantities("datum_after")
    pairs = zip(before, after, strict=False)
    if reading.text("gauge") == "caliper":
        return tuple(difference(thick, bare) for bare, thick in pairs)
    return tuple(difference(deep, shallow) for deep, shallow in pairs)


def all_plain(taken: Taken) -> bool:
    """True where every reading gives values and none a distance, so that none has a problem."""
    if not _DISTANCES.isdisjoint(taken.given):
        return False
    return all(["values" in reading.given for reading in taken.readings])


def problem(reading: Values) -> str:
    """Why no thickness can be had from a reading; "" if it can."""
    before, after = reading.quantities("datum_before"), reading.quantities("datum_after")
    if len(before) != len(after):
        return f"{counted(len(before), 'distance')} before and {len(after)} after do not pair"
    if before and "values" in reading:
        return "values and distances from a datum are both given"
    if not before and "values" not in reading:
        return "no value is given"
    if any(value.magnitude < 0 for value in thicknesses(reading)):
        return "the distances before and after give a thickness below zero"
    return ""


def measured(criteria: Criteria, taken: Taken) -> Measured:
    """The corrected values of readings, at least one, in the unit of the first value."""
    if "datum_before" in taken.given:
        lists = [thicknesses(reading) for reading in taken.readings]
    else:
        lists = [reading.quantities("values") for reading in taken.readings]
    unit = lists[0][0].unit
    entered = in_one_unit(list(chain.from_iterable(lists)), unit)
    ends = list(accumulate(map(len, lists)))
    profile = correction(criteria)
    shift = profile.magnitude_in(unit) if profile else Decimal(0)
    if "base_metal_reading" in taken.given:
        entered, shift = _less_base_metal(entered, ends, taken, unit, shift), Decimal(0)
    return Measured(Column(entered, unit, shift=shift), ends, taken.numbers)


def correction(criteria: Criteria) -> Quantity | None:
    """What is taken off each value for the profile; None where the plan states none."""
    stated = criteria.get("surface_profile")
    if stated is None or isinstance(stated, Quantity):
        return stated
    return Quantity(Decimal(_CORRECTION[stated]), _CORRECTION["unit"])


def _less_base_metal(
    entered: list[Magnitude], ends: list[int], taken: Taken, unit: str, shift: Magnitude
) -> list[Magnitude]:
    """The base metal reading holds the effect of the profile, so it replaces that correction."""
    values: list[Magnitude] = []
    for reading, start, end in zip(taken.readings, [0, *ends], ends, strict=False):
        base = in_one_unit(reading.quantities("base_metal_reading"), unit)
        less = Fraction(mean(base) if base else shift)
        values += [Fraction(value) - less for value in entered[start:end]]
    return values
