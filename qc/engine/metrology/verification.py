"""Checks of an instrument against a reference, and whether its range covers a value.

Source: common practice. A check passes where what was found differs from the nominal value of the
reference by no more than the tolerance agreed for the check; all arithmetic is exact.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from qc.engine.fields import InvalidValue
from qc.engine.metrology.kinds import Figure, Part, figure_of
from qc.engine.quantities import Dimension, Quantity, units_of

_ABSOLUTE = {Dimension.TEMPERATURE: ("K", "delta_degC")}
"""Units in which two values of a scale with an offset are subtracted, and of their difference."""


def passes(nominal: Figure, found: Figure, tolerance: Figure) -> bool:
    """Whether |found - nominal| <= tolerance; on the tolerance passes.

    InvalidValue where the three are not of one kind.
    """
    if isinstance(nominal, Decimal) and isinstance(found, Decimal):
        if isinstance(tolerance, Decimal):
            return abs(found - nominal) <= tolerance
        raise InvalidValue("tolerance", f"{tolerance} has a unit, and the reading has none")
    if not isinstance(nominal, Quantity) or not isinstance(found, Quantity):
        raise InvalidValue("found", "nominal value and reading are not of one kind")
    if found.dimension is not nominal.dimension:
        raise InvalidValue("found", f"{found} is not of the kind of {nominal}")
    return _difference(nominal, found) <= _width(tolerance, nominal.dimension)


def _difference(nominal: Quantity, found: Quantity) -> Fraction:
    unit, _ = _units(nominal)
    return abs(Fraction(found.magnitude_in(unit)) - Fraction(nominal.magnitude_in(unit)))


def _width(tolerance: Figure, dimension: Dimension) -> Fraction:
    wanted = _ABSOLUTE[dimension][1] if dimension in _ABSOLUTE else ""
    kind = Dimension.TEMPERATURE_DIFFERENCE if wanted else dimension
    if not isinstance(tolerance, Quantity) or tolerance.dimension is not kind:
        raise InvalidValue("tolerance", f"{tolerance} is not a {kind}")
    return Fraction(tolerance.magnitude_in(wanted or _base(dimension)))


def _units(value: Quantity) -> tuple[str, str]:
    base = _base(value.dimension)
    return _ABSOLUTE.get(value.dimension, (base, base))


def _base(dimension: Dimension) -> str:
    return units_of(dimension)[0]


@dataclass(frozen=True)
class Range:
    """What an instrument can measure, from `low` to `high`, both included; None is unbounded."""

    low: Figure | None
    high: Figure | None

    @property
    def dimension(self) -> Dimension | None:
        """The kind of quantity; None for a plain scale or where nothing is stated."""
        for bound in (self.low, self.high):
            if isinstance(bound, Quantity):
                return bound.dimension
        return None

    def covers(self, value: Quantity) -> bool:
        """Whether a value of the range's own kind lies within it."""
        low_holds = not isinstance(self.low, Quantity) or self.low <= value
        return low_holds and (not isinstance(self.high, Quantity) or value <= self.high)


def range_of(kind: str, low: str, high: str) -> Range:
    """The range that two texts state, either of them perhaps empty.

    InvalidValue where one is no figure of the kind, or they are of two kinds or out of order.
    """
    bounds = Range(*_bounds(kind, (("range_low", low), ("range_high", high))))
    lower, upper = bounds.low, bounds.high
    if lower is None or upper is None:
        return bounds
    if isinstance(lower, Quantity) and isinstance(upper, Quantity):
        if lower.dimension is not upper.dimension:
            raise InvalidValue("range_high", f"{upper} is not of the kind of {lower}")
        is_order = lower < upper
    else:
        is_order = isinstance(lower, Decimal) and isinstance(upper, Decimal) and lower < upper
    if not is_order:
        raise InvalidValue("range_high", f"{high.strip()} is not above {low.strip()}")
    return bounds


def _bounds(kind: str, texts: Iterable[tuple[str, str]]) -> Iterable[Figure | None]:
    for name, text in texts:
        yield figure_of(kind, Part.VALUE, name, text) if text.strip() else None
