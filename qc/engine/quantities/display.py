"""Numbers as text. Only here is anything rounded, and a failing value never prints as its limit."""

from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction

STORED_PLACES = 6
"""Digits kept of a computed value: enough to recompute from, few enough to agree on any machine."""

_WIDE = Context(prec=100, rounding=ROUND_HALF_EVEN)
"""Wide enough for any quotient of two numbers that a record can hold."""


def decimal_text(value: Decimal | Fraction, places: int = STORED_PLACES) -> str:
    """`value` in plain digits: a Decimal as entered, a Fraction to `places` without idle zeros."""
    if isinstance(value, Decimal):
        return f"{value:f}"
    return f"{_rounded(_exact(value), places).normalize(_WIDE):f}"


def shown(value: Decimal | Fraction, places: int, *limits: Decimal | Fraction | None) -> str:
    """`value` rounded to `places` for reading, with more digits while it would print as a limit.

    A value on one side of any of `limits` is never printed on its other side nor as the limit
    itself.
    """
    exact = _exact(value)
    kept = [limit for limit in limits if limit is not None]
    for digits in range(places, 16):
        rounded = _rounded(exact, digits)
        if all(_side(rounded, limit) == _side(exact, limit) for limit in kept):
            return f"{rounded:f}"
    return f"{+exact:f}"


def _exact(value: Decimal | Fraction) -> Decimal:
    if isinstance(value, Decimal):
        return value
    return _WIDE.divide(Decimal(value.numerator), Decimal(value.denominator))


def _side(value: Decimal, limit: Decimal | Fraction) -> int:
    return (value > limit) - (value < limit)


def _rounded(value: Decimal, places: int) -> Decimal:
    rounded = value.quantize(Decimal(1).scaleb(-places), context=_WIDE)
    return rounded or abs(rounded)  # a zero has no sign
