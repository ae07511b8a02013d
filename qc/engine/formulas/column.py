"""Many readings of one unit, kept as entered so that judging thousands of them stays cheap."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import cached_property
from math import ceil

from qc.engine.formulas.statistics import EXACT, all_decimal, mean
from qc.engine.quantities import Magnitude, decimal_text
from qc.engine.quantities.display import STORED_PLACES

_GRID = 40
"""Decimal places finer than any entry, for a threshold that has no finite decimal."""


@dataclass(frozen=True)
class Column:
    """The value at `i` is `entered[i] * scale - shift`, in `unit` ("" for plain numbers).

    Readings less one correction, or the means of equally many readings kept as their sums, are
    compared by moving the limit once instead of every reading. `scale` is above zero.
    """

    entered: Sequence[Magnitude]
    unit: str = ""
    scale: Fraction = Fraction(1)
    shift: Magnitude = Decimal(0)

    def __len__(self) -> int:
        return len(self.entered)

    @property
    def plain(self) -> bool:
        """True where the values are the entries themselves."""
        return self.scale == 1 and not self.shift

    def value(self, position: int) -> Magnitude:
        """The exact value at `position`."""
        entered = self.entered[position]
        return entered if self.plain else Fraction(entered) * self.scale - Fraction(self.shift)

    @cached_property
    def lowest(self) -> int:
        """Where the lowest value stands, the first of equals."""
        return self.entered.index(min(self.entered))

    @cached_property
    def highest(self) -> int:
        """Where the highest value stands, the first of equals."""
        return self.entered.index(max(self.entered))

    @cached_property
    def mean(self) -> Fraction:
        """The exact mean of the values."""
        return mean(self.entered) * self.scale - Fraction(self.shift)

    def as_entered(self, value: Magnitude) -> Magnitude:
        """What an entry would be for its value to be `value`."""
        return value if self.plain else (Fraction(value) + Fraction(self.shift)) / self.scale

    def below(self, value: Magnitude) -> int:
        """How many values lie below `value`."""
        threshold = self.as_entered(value)
        if isinstance(threshold, Fraction) and all_decimal(self.entered):
            threshold = _next_on_grid(threshold)
        return sum([entry < threshold for entry in self.entered])

    def rising(self) -> list[int]:
        """The positions by rising value."""
        return sorted(range(len(self.entered)), key=self.entered.__getitem__)

    def texts(self) -> list[str]:
        """Every value with its unit, as a record keeps it."""
        if not all_decimal(self.entered):
            plain = [decimal_text(self.value(i)) for i in range(len(self))]
        elif self.plain:
            plain = _digits(self.entered)
        elif self.scale == 1 and isinstance(self.shift, Decimal):
            with localcontext(EXACT):
                plain = _digits([entry - self.shift for entry in self.entered])  # type: ignore[operator]
        else:
            plain = self._rounded()
        return [f"{digits} {self.unit}" for digits in plain]

    def _rounded(self) -> list[str]:
        """As `decimal_text` of a Fraction, without making one for every value."""
        last, shift = Decimal(1).scaleb(-STORED_PLACES), Fraction(self.shift)
        times, by = Decimal(self.scale.numerator), Decimal(self.scale.denominator)
        with localcontext(EXACT):
            less = Decimal(shift.numerator) / shift.denominator
            values = [entry * times / by - less for entry in self.entered]  # type: ignore[operator]
            return [f"{value.quantize(last).normalize():f}" for value in values]


def _next_on_grid(threshold: Fraction) -> Decimal:
    """The least decimal of `_GRID` places not below `threshold`: no entry lies between the two."""
    return EXACT.scaleb(Decimal(ceil(threshold * 10**_GRID)), -_GRID)


def _digits(values: Sequence[Magnitude]) -> list[str]:
    texts = list(map(str, values))
    return [f"{value:f}" for value in values] if "E" in "".join(texts) else texts
