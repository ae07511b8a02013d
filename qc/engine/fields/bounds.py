"""The bounds of what is plausible, named in the unit that was typed."""

from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from fractions import Fraction

from qc.engine.fields.field import Field, InvalidValue
from qc.engine.quantities import Magnitude, Quantity

_SIGNIFICANT = 6
"""Digits of a bound that does not come out even in the unit typed."""

_WIDE = Context(prec=100)


def check_bounds(field: Field, value: Quantity, path: str) -> None:
    """InvalidValue where `value` lies outside the field's bounds; on a bound it is taken."""
    if field.minimum is not None:
        least = Quantity(field.minimum, field.unit)
        if value < least:
            bound = _in_unit_of(value, least, ROUND_CEILING)
            raise InvalidValue(path, f"{value} is below {bound}, the least allowed")
    if field.maximum is not None:
        most = Quantity(field.maximum, field.unit)
        if value > most:
            bound = _in_unit_of(value, most, ROUND_FLOOR)
            raise InvalidValue(path, f"{value} is above {bound}, the most allowed")


def _in_unit_of(typed: Quantity, bound: Quantity, rounding: str) -> str:
    """`bound` in the unit of `typed`: exact where it comes out even, else rounded inwards.

    A rounded bound keeps at least the decimals of `typed`, so that it is the last value of such
    digits that is taken, and the exact one follows in its own unit.
    """
    converted = bound.magnitude_in(typed.unit)
    if isinstance(converted, Decimal):
        return str(bound)
    places = max(_decimals(typed.magnitude), _SIGNIFICANT - 1 - _adjusted(converted), 0)
    rounded = _decimal(converted).quantize(Decimal(1).scaleb(-places), rounding, _WIDE)
    text = f"{_plain(rounded)} {typed.unit}"
    return text if Fraction(rounded) == converted else f"{text} ({bound})"


def _decimals(magnitude: Magnitude) -> int:
    exponent = magnitude.as_tuple().exponent if isinstance(magnitude, Decimal) else 0
    return -exponent if isinstance(exponent, int) else 0


def _adjusted(magnitude: Fraction) -> int:
    return _decimal(magnitude).adjusted() if magnitude else 0


def _decimal(magnitude: Fraction) -> Decimal:
    return _WIDE.divide(Decimal(magnitude.numerator), Decimal(magnitude.denominator))


def _plain(value: Decimal) -> str:
    """Without idle zeros behind the point."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
