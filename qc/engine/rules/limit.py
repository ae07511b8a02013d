"""A limit, and the decision rule by which an observed value meets it."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from qc.engine.quantities import Magnitude, Quantity, shown, symbol_of
from qc.engine.rules.verdict import Finding, Outcome


class Bound(StrEnum):
    """Which side of the limit is the good one, and whether the limit itself is."""

    AT_LEAST = "at least"
    ABOVE = "above"
    AT_MOST = "at most"
    BELOW = "below"

    @property
    def is_lower(self) -> bool:
        """True where the good side lies above the limit."""
        return self in (Bound.AT_LEAST, Bound.ABOVE)


class Decision(StrEnum):
    """Simple acceptance, or acceptance guarded by the expanded uncertainty (ILAC-G8:09/2019)."""

    SIMPLE = "simple"
    GUARDED = "guarded"


@dataclass(frozen=True, kw_only=True)
class Limit:
    """An acceptance limit in the unit of its specification.

    `uncertainty` is the expanded uncertainty U (k = 2), in the limit's unit (a difference); with
    a guarded decision the acceptance limit lies U inside the limit.
    """

    rule: str
    label: str
    value: Quantity | Decimal
    bound: Bound
    source: str = ""
    decision: Decision = Decision.SIMPLE
    uncertainty: Magnitude | None = None
    places: int = 1

    @property
    def text(self) -> str:
        """The limit in words: "at least 3 °C"."""
        if isinstance(self.value, Quantity):
            number = shown(self.value.magnitude, _places_of(self.value.magnitude))
            return f"{self.bound} {number} {symbol_of(self.value.unit)}"
        return f"{self.bound} {shown(self.value, _places_of(self.value))}"

    def judge(self, observed: Quantity | Magnitude, subject: str = "") -> Finding:
        """Compare `observed`, unrounded, with the limit in the limit's own unit.

        `subject` says what was observed ("reading 3"); the statement says by how much it misses.
        """
        value, limit, unit = self._magnitudes(observed)
        met = self._met(value, self.acceptance)
        return Finding(
            rule=self.rule,
            outcome=Outcome.CONFORMS if met else Outcome.DOES_NOT_CONFORM,
            observed=f"{shown(value, self.places, limit)} {symbol_of(unit)}".strip(),
            limit=self.text,
            statement=self._statement(value, limit, unit, met, subject),
            source=self.source,
            flags=self._guard_flags(value, limit, met),
        )

    def _magnitudes(self, observed: Quantity | Magnitude) -> tuple[Magnitude, Magnitude, str]:
        if isinstance(self.value, Quantity):
            if not isinstance(observed, Quantity):
                raise TypeError(f"{self.rule}: a quantity is compared with a quantity")
            return observed.magnitude_in(self.value.unit), self.value.magnitude, self.value.unit
        if isinstance(observed, Quantity):
            raise TypeError(f"{self.rule}: a number is compared with a number")
        return observed, self.value, ""

    @property
    def acceptance(self) -> Magnitude:
        """The magnitude that decides, in the limit's unit: U inside the limit where guarded."""
        limit = self.value.magnitude if isinstance(self.value, Quantity) else self.value
        if self.decision is Decision.SIMPLE or self.uncertainty is None:
            return limit
        guard = Fraction(self.uncertainty)
        return Fraction(limit) + guard if self.bound.is_lower else Fraction(limit) - guard

    def _met(self, value: Magnitude, acceptance: Magnitude) -> bool:
        match self.bound:
            case Bound.AT_LEAST:
                return bool(value >= acceptance)
            case Bound.ABOVE:
                return bool(value > acceptance)
            case Bound.AT_MOST:
                return bool(value <= acceptance)
            case Bound.BELOW:
                return bool(value < acceptance)

    def _statement(
        self, value: Magnitude, limit: Magnitude, unit: str, met: bool, subject: str
    ) -> str:
        symbol = symbol_of(unit)
        what = f"{self.label}, {subject}," if subject else self.label
        said = f"{what} {shown(value, self.places, limit)} {symbol}".strip()
        if met:
            return f"{said}: {self.text} is met."
        if self._met(value, limit):
            return f"{said}: within {self.text}, but inside the guard band of {self.uncertainty}."
        by = abs(Fraction(value) - Fraction(limit))
        amount = f"{shown(by, self.places, Decimal(0))} {symbol}".strip()
        return f"{said}: misses {self.text} by {amount}."

    def _guard_flags(self, value: Magnitude, limit: Magnitude, met: bool) -> tuple[str, ...]:
        if self.uncertainty is None:
            return ()
        if abs(Fraction(value) - Fraction(limit)) > Fraction(self.uncertainty):
            return ()
        inside = met or self._met(value, limit)
        return (f"{self.rule}: conditional {'pass' if inside else 'fail'}",)


def _places_of(value: Magnitude) -> int:
    """Decimal places in which a limit was written."""
    if isinstance(value, Fraction):
        return 2
    return max(0, -int(value.as_tuple().exponent))
