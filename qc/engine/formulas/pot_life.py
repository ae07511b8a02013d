"""Pot life at the temperature of the material.

Source: a paint maker's pot-life note (2 h at 20 degC, 1 h at 30 degC, 30 min at 40 degC) and a UFGS
guide specification: pot life halves with each 10 degC (18 degF) and doubles the other way. It says
nothing about cure or recoat times, which change far less.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction

HALVING_STEP = Fraction(10)
"""Temperature difference in degC over which pot life halves."""

_CONTEXT = Context(prec=34)


@dataclass(frozen=True)
class PotLife:
    """A pot life in hours; `estimated` where the halving rule and not the table gave it."""

    hours: Fraction
    estimated: bool


def halved(hours: Fraction, reference: Fraction, celsius: Fraction, step: Fraction) -> Fraction:
    """`hours * 2 ** ((reference - celsius) / step)`, temperatures in degC.

    Exact where the exponent is whole; otherwise correct to 34 digits on any machine.
    """
    exponent = (reference - celsius) / step
    whole = exponent // 1
    rest = exponent - whole
    return hours * Fraction(2) ** int(whole) * _two_to_the(rest)


def _two_to_the(rest: Fraction) -> Fraction:
    power = _CONTEXT.divide(Decimal(rest.numerator), Decimal(rest.denominator))
    return Fraction(_CONTEXT.exp(_CONTEXT.multiply(power, _CONTEXT.ln(Decimal(2)))))


def pot_life(
    rows: Sequence[tuple[Fraction, Fraction]], celsius: Fraction, step: Fraction = HALVING_STEP
) -> PotLife:
    """The pot life at `celsius` from `rows` (degC, hours) by rising temperature.

    Between two rows the hotter, shorter one counts. A single row, and anything hotter than the
    hottest row, is carried on by the halving rule and marked as estimated. Several rows are not
    carried on below the coldest: its time counts there.
    """
    hottest, time = rows[-1]
    if celsius == hottest:
        return PotLife(time, estimated=False)
    if celsius > hottest or len(rows) == 1:
        return PotLife(halved(time, hottest, celsius, step), estimated=True)
    return PotLife(next(hours for at, hours in rows if at >= celsius), estimated=False)
