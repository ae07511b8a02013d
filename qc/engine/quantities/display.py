"""Numbers as text. Rounding happens here only, and never makes a failing value look like its limit."""

from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

STORED_PLACES = 6
"""Digits kept of a computed value: enough to recompute from, few enough to agree on any machine."""


def decimal_text(value: Decimal | Fraction, places: int = STORED_PLACES) -> str:
    """`value` in plain digits: a Decimal as entered, a Fraction to `places` without idle zeros."""
    if isinstance(value, Decimal):
        return f"{value:f}"
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    return f"{_rounded(exact, places).normalize():f}"


def shown(value: Decimal | Fraction, places: int, limit: Decimal | Fraction | None = None) -> str:
    """`value` rounded to `places` for reading, with more digits while it would print as `limit`.

    A value on one side of the limit is never printed on the other side nor as the limit itself.
    """
    exact = value if isinstance(value, Decimal) else Decimal(value.numerator) / value.denominator
    for digits in range(places, 16):
        rounded = _rounded(exact, digits)
        if limit is None or _side(rounded, limit) == _side(exact, limit):
            return f"{rounded:f}"
    return f"{exact:f}"


def _side(value: Decimal, limit: Decimal | Fraction) -> int:
    return (value > limit) - (value < limit)


def _rounded(value: Decimal, places: int) -> Decimal:
    return value.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
