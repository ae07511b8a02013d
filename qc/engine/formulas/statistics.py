"""Means, medians and spreads of readings, without rounding.

Sums run in a decimal context wide enough that no digit of an entry (15 before and 15 after the
point, up to 20 000 of them) is lost; the default context of 28 digits would round.
"""

from collections.abc import Sequence
from decimal import Context, Decimal, localcontext
from fractions import Fraction
from math import erfc, sqrt

from qc.engine.quantities import Magnitude, Quantity

EXACT = Context(prec=80)


def all_decimal(values: Sequence[Magnitude]) -> bool:
    """True where every value is a Decimal, as entered, and none a Fraction."""
    return set(map(type, values)) <= {Decimal}


def total(values: Sequence[Magnitude]) -> Magnitude:
    """The exact sum: a Decimal where all values are Decimals, else a Fraction."""
    if all_decimal(values):
        with localcontext(EXACT):
            return sum(values, Decimal(0))
    return sum((Fraction(value) for value in values), Fraction(0))


def totals(values: Sequence[Magnitude], ends: Sequence[int]) -> list[Magnitude]:
    """The exact sum of each run of `values`; `ends[i]` is where run `i` ends.

    In one go, so that thousands of small sums stay cheap.
    """
    runs = zip([0, *ends], ends, strict=False)
    if not all_decimal(values):
        return [total(values[start:end]) for start, end in runs]
    with localcontext(EXACT):
        return [sum(values[start:end], Decimal(0)) for start, end in runs]


def mean(values: Sequence[Magnitude]) -> Fraction:
    """The arithmetic mean as an exact fraction. ValueError if there are no values.

    The mean of 6.1, 6.5 and 6.6 is 6.4 and not the 6.3999... of binary floats.
    """
    if not values:
        raise ValueError("no values to take the mean of")
    return Fraction(total(values)) / len(values)


def median(values: Sequence[Magnitude]) -> Fraction:
    """The middle value, or the mean of the middle two. ValueError if there are no values."""
    if not values:
        raise ValueError("no values to take the median of")
    ordered = sorted(values)
    half = len(ordered) // 2
    if len(ordered) % 2:
        return Fraction(ordered[half])
    return (Fraction(ordered[half - 1]) + Fraction(ordered[half])) / 2


def conformity_probability(
    inside: Fraction, uncertainty: Fraction, inside_other: Fraction | None = None
) -> float:
    """The probability that a true value meets a limit, or two, by the normal distribution.

    `inside` is how far the observed value lies on the good side of the limit (negative: beyond
    it), `uncertainty` the expanded uncertainty U with k = 2, in the same unit: Phi(inside / u)
    with u = U/2. Where there is a limit on the other side too, `inside_other` is how far it lies
    on the good side of that, and p = Phi((TU - y)/u) - Phi((TL - y)/u). Forms of JCGM 106, from
    memory.
    """
    if not uncertainty:
        return 1.0 if inside >= 0 and (inside_other is None or inside_other >= 0) else 0.0
    chance = _normal(2 * inside / uncertainty)
    if inside_other is None:
        return chance
    return max(chance - _normal(-2 * inside_other / uncertainty), 0.0)


def _normal(deviations: Fraction) -> float:
    """The cumulative standard normal distribution."""
    return erfc(-float(deviations) / sqrt(2)) / 2


def scaled(quantity: Quantity, factor: Decimal) -> Quantity:
    """`quantity` times `factor`, exact: 80 % of 8 mil is 6.4 mil."""
    if isinstance(quantity.magnitude, Fraction):
        return Quantity(quantity.magnitude * Fraction(factor), quantity.unit)
    return Quantity(product(quantity.magnitude, factor), quantity.unit)


def difference(first: Quantity, second: Quantity) -> Quantity:
    """`first` less `second`, exact, in the unit of `first`."""
    less = second.magnitude_in(first.unit)
    if isinstance(first.magnitude, Decimal) and isinstance(less, Decimal):
        return Quantity(EXACT.subtract(first.magnitude, less), first.unit)
    return Quantity(Fraction(first.magnitude) - Fraction(less), first.unit)


def product(value: Decimal, factor: Decimal) -> Decimal:
    """`value` times `factor`, exact, without idle zeros behind the point."""
    found = EXACT.multiply(value, factor)
    whole = found == found.to_integral_value()
    return found.quantize(Decimal(1)) if whole else found.normalize(EXACT)


def in_one_unit(quantities: Sequence[Quantity], unit: str) -> list[Magnitude]:
    """The magnitudes in `unit`; untouched, and cheap, where all were entered in it."""
    if {quantity.unit for quantity in quantities} <= {unit}:
        return [quantity.magnitude for quantity in quantities]
    return [quantity.magnitude_in(unit) for quantity in quantities]
