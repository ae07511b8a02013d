"""A quantity: an exact number and the unit in which it was entered."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from qc.engine.quantities.display import decimal_text
from qc.engine.quantities.units import (
    Dimension,
    affine_map,
    dimension_of,
    symbol_of,
    unit_named,
    units_of,
)

Magnitude = Decimal | Fraction
"""A reading is a Decimal; a mean of readings may be a Fraction, so that thirds stay exact."""

_NUMBER = re.compile(r"[+-]?\d{1,15}(\.\d{1,15})?")
_NUMBER_AND_UNIT = re.compile(rf"\s*({_NUMBER.pattern})\s*([^\s\d.,]\S{{0,19}})\s*")


class InvalidQuantity(ValueError):
    """The text is no number with a unit of the kind asked for; the message says what is allowed."""


def parse_decimal(text: str) -> Decimal:
    """The exact number written in `text`; InvalidQuantity for anything but digits and a point."""
    stripped = text.strip().replace("\N{MINUS SIGN}", "-")
    if not _NUMBER.fullmatch(stripped):
        raise InvalidQuantity(f"{text[:40]!r} is not a number such as 12 or -3.5")
    return Decimal(stripped)


@dataclass(frozen=True)
class Quantity:
    """An exact magnitude in `unit`; compares by value, whatever the unit, within one dimension."""

    magnitude: Magnitude
    unit: str

    @classmethod
    def parse(cls, text: str, dimension: Dimension | None = None) -> Quantity:
        """Read "24.3 degC". InvalidQuantity if it is no number with a known unit of `dimension`."""
        found = _NUMBER_AND_UNIT.fullmatch(text.replace("\N{MINUS SIGN}", "-"))
        if not found:
            raise InvalidQuantity(f"{text[:40]!r} is not a number with a unit")
        unit = unit_named(found.group(3), dimension)
        if unit is None:
            raise InvalidQuantity(f"{found.group(3)!r} is not a known unit")
        if dimension is not None and dimension_of(unit) is not dimension:
            raise InvalidQuantity(f"{unit!r} is a unit of {dimension_of(unit)}, not of {dimension}")
        return cls(Decimal(found.group(1)), unit)

    @property
    def dimension(self) -> Dimension:
        """The kind of thing measured."""
        return dimension_of(self.unit)

    @property
    def printed(self) -> str:
        """As a page prints it, all digits kept: "5 µS/cm" for 5 uS/cm."""
        return f"{decimal_text(self.magnitude)} {symbol_of(self.unit)}"

    def magnitude_in(self, unit: str) -> Magnitude:
        """The magnitude in `unit`, exact. InvalidQuantity if the units are of two kinds."""
        if unit == self.unit:
            return self.magnitude
        if dimension_of(unit) is not self.dimension:
            raise InvalidQuantity(f"{self} cannot be given in {unit}")
        scale, offset = affine_map(self.unit, unit)
        return Fraction(self.magnitude) * scale + offset

    def to(self, unit: str) -> Quantity:
        """The same quantity in `unit`."""
        return Quantity(self.magnitude_in(unit), unit)

    def __lt__(self, other: Quantity) -> bool:
        return self.magnitude_in(other.unit) < other.magnitude

    def __le__(self, other: Quantity) -> bool:
        return self.magnitude_in(other.unit) <= other.magnitude

    def __gt__(self, other: Quantity) -> bool:
        return other < self

    def __ge__(self, other: Quantity) -> bool:
        return other <= self

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Quantity) or other.dimension is not self.dimension:
            return NotImplemented
        return self.magnitude_in(other.unit) == other.magnitude

    def __hash__(self) -> int:
        return hash(Fraction(self.magnitude_in(units_of(self.dimension)[0])))

    def __str__(self) -> str:
        return f"{decimal_text(self.magnitude)} {self.unit}"
