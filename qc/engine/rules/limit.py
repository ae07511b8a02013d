"""A limit, and the decision rule by which an observed value meets it."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from qc.engine.formulas.statistics import conformity_probability
from qc.engine.quantities import Magnitude, Quantity, decimal_text, shown, symbol_of
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

    `uncertainty` is the expanded uncertainty U (k = 2), in the limit's unit (a difference). With a
    guarded decision the acceptance limit lies `guard_factor` times U inside the limit: 1 in
    ILAC-G8:09/2019, 0.83 in ISO 14253-1:2017. With `probability` the finding states the
    probability of conformity.
    """

    rule: str
    label: str
    value: Quantity | Decimal
    bound: Bound
    source: str = ""
    decision: Decision = Decision.SIMPLE
    uncertainty: Magnitude | None = None
    guard_factor: Decimal = Decimal(1)
    probability: bool = False
    places: int = 1

    @property
    def text(self) -> str:
        """The limit in words: "at least 3 °C", and the guard band where the decision is guarded."""
        asked = f"{self.bound} {self._written(self._magnitude)}"
        return f"{asked}, guarded by {self._written(self.guard)}" if self._is_guarded else asked

    @property
    def guard(self) -> Fraction:
        """The width of the guard band, in the limit's unit; 0 where no uncertainty is stated."""
        return Fraction(self.uncertainty or 0) * Fraction(self.guard_factor)

    @property
    def acceptance(self) -> Magnitude:
        """The magnitude that decides, in the limit's unit: inside the limit where guarded."""
        if not self._is_guarded:
            return self._magnitude
        inward = self.guard if self.bound.is_lower else -self.guard
        return Fraction(self._magnitude) + inward

    @property
    def _is_guarded(self) -> bool:
        return self.decision is Decision.GUARDED and self.uncertainty is not None

    @property
    def _magnitude(self) -> Magnitude:
        return self.value.magnitude if isinstance(self.value, Quantity) else self.value

    def _written(self, magnitude: Magnitude) -> str:
        unit = self.value.unit if isinstance(self.value, Quantity) else ""
        return f"{decimal_text(magnitude)} {symbol_of(unit)}".strip()

    def judge(self, observed: Quantity | Magnitude, subject: str = "") -> Finding:
        """Compare `observed`, unrounded, with the limit in the limit's own unit.

        `subject` says what was observed ("reading 3"); the statement says by how much it misses.
        """
        value, limit, unit = self._magnitudes(observed)
        met = self._met(value, self.acceptance)
        return Finding(
            rule=self.rule,
            outcome=Outcome.CONFORMS if met else Outcome.DOES_NOT_CONFORM,
            observed=f"{self._shown(value)} {symbol_of(unit)}".strip(),
            limit=self.text,
            statement=self._statement(value, limit, unit, met, subject),
            source=self.source,
            flags=(*self._guard_flags(value, limit), *self._probability_flags(value, limit)),
        )

    def _magnitudes(self, observed: Quantity | Magnitude) -> tuple[Magnitude, Magnitude, str]:
        if isinstance(self.value, Quantity):
            if not isinstance(observed, Quantity):
                raise TypeError(f"{self.rule}: a quantity is compared with a quantity")
            return observed.magnitude_in(self.value.unit), self.value.magnitude, self.value.unit
        if isinstance(observed, Quantity):
            raise TypeError(f"{self.rule}: a number is compared with a number")
        return observed, self.value, ""

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
        said = f"{what} {self._shown(value)} {symbol}".strip()
        if met:
            return f"{said}: {self.text} is met."
        if self._met(value, limit):
            return f"{said}: inside the guard band of {self.text}."
        by = abs(Fraction(value) - Fraction(limit))
        if not by:
            return f"{said}: lies on the limit, which asks for {self.text}."
        amount = f"{shown(by, self.places, Decimal(0))} {symbol}".strip()
        return f"{said}: misses {self.text} by {amount}."

    def _shown(self, value: Magnitude) -> str:
        """Rounded, but neither as the limit nor, where guarded, as what would be accepted."""
        return shown(value, self.places, self._magnitude, self.acceptance)

    def _guard_flags(self, value: Magnitude, limit: Magnitude) -> tuple[str, ...]:
        """The third answer beside pass and fail: the value lies within the guard of the limit."""
        if self.uncertainty is None or abs(Fraction(value) - Fraction(limit)) > self.guard:
            return ()
        return (f"{self.rule}: conditional {'pass' if self._met(value, limit) else 'fail'}",)

    def _probability_flags(self, value: Magnitude, limit: Magnitude) -> tuple[str, ...]:
        if not self.probability or self.uncertainty is None:
            return ()
        above = Fraction(value) - Fraction(limit)
        inside = above if self.bound.is_lower else -above
        chance = conformity_probability(inside, Fraction(self.uncertainty))
        return (f"{self.rule}: probability of conformity {chance:.3f}",)
