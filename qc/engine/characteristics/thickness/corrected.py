"""The readings as judged: in one unit, less the correction for profile or the base metal."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from itertools import accumulate

from qc.engine.characteristic import Criteria
from qc.engine.fields import Values
from qc.engine.formulas.statistics import EXACT, in_one_unit, mean
from qc.engine.quantities import Magnitude, Quantity
from qc.engine.standards.tables import load_tables

_CORRECTION = load_tables("qc.engine.characteristics.thickness")["correction"]


@dataclass(frozen=True)
class Corrected:
    """Corrected values of all readings, in `unit`, in the given order.

    `ends[i]` counts the values up to and with reading `i`.
    """

    unit: str
    values: list[Magnitude]
    ends: list[int]

    def of_reading(self, index: int) -> list[Magnitude]:
        """The values of one reading."""
        return self.values[self.ends[index - 1] if index else 0 : self.ends[index]]

    def name(self, position: int) -> str:
        """What the value at `position` of all is called: "reading 2, value 1"."""
        reading = bisect_right(self.ends, position)
        start = self.ends[reading - 1] if reading else 0
        single = self.ends[reading] - start == 1
        return f"reading {reading + 1}" + ("" if single else f", value {position - start + 1}")


def corrected(criteria: Criteria, readings: Sequence[Values]) -> Corrected:
    """All values less their correction, exact, in the unit of the first."""
    unit = readings[0].quantities("values")[0].unit
    lists = [reading.quantities("values") for reading in readings]
    values = in_one_unit([value for given in lists for value in given], unit)
    ends = list(accumulate(len(given) for given in lists))
    profile = correction(criteria)
    if profile is not None and not any("base_metal_reading" in r for r in readings):
        return Corrected(unit, _less(values, profile.magnitude_in(unit)), ends)
    plain = Corrected(unit, values, ends)
    return _less_base_metal(plain, readings, profile) if _has_base(readings) else plain


def _has_base(readings: Sequence[Values]) -> bool:
    return any("base_metal_reading" in reading for reading in readings)


def correction(criteria: Criteria) -> Quantity | None:
    """What is taken off each reading for the profile; None where the plan states none."""
    stated = criteria.get("surface_profile")
    if isinstance(stated, Quantity):
        return stated
    if stated is None:
        return None
    return Quantity(Decimal(_CORRECTION[stated]), _CORRECTION["unit"])


def _less_base_metal(
    plain: Corrected, readings: Sequence[Values], profile: Quantity | None
) -> Corrected:
    """The base metal reading holds the effect of the profile, so it replaces that correction."""
    values: list[Magnitude] = []
    for index, reading in enumerate(readings):
        base = in_one_unit(reading.quantities("base_metal_reading"), plain.unit)
        less = mean(base) if base else profile.magnitude_in(plain.unit) if profile else Decimal(0)
        values += _less(plain.of_reading(index), less)
    return Corrected(plain.unit, values, plain.ends)


def _less(values: Sequence[Magnitude], correction: Magnitude) -> list[Magnitude]:
    if not correction:
        return list(values)
    if isinstance(correction, Decimal) and all(type(value) is Decimal for value in values):
        with localcontext(EXACT):
            return [value - correction for value in values]  # type: ignore[operator]
    exact = Fraction(correction)
    return [Fraction(value) - exact for value in values]
