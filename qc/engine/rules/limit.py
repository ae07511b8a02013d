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
    """Simple acceptance, or a decision guarded by the expanded uncertainty.

    `guarded` accepts only what lies inside the limit by the guard band (ILAC-G8:09/2019);
    `guarded_rejection` rejects only what lies beyond it by as much (a guard band below 0).
    """

    SIMPLE = "simple"
    GUARDED = "guarded"
    GUARDED_REJECTION = "guarded_rejection"


_UNCONFIRMED = "guarded rejection to be confirmed against the licensed text"


@dataclass(frozen=True, kw_only=True)
class Limit:
    """An acceptance limit in the unit of its specification.

    `uncertainty` is the expanded uncertainty U (k = 2), in the limit's unit (a difference). With a
    guarded decision the acceptance limit lies `guard_factor` times U inside the limit: 1 in
    ILAC-G8:09/2019, 0.83 in ISO 14253-1:2017; with guarded rejection as far outside it. With
    `probability` the finding states the probability of conformity; where the same quantity has a
    limit on its other side, `opposite`, that of lying between both.
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
    opposite: Quantity | Decimal | None = None

    @property
    def text(self) -> str:
        """The limit in words: "at least 3 °C", and the guard band where the decision is guarded."""
        if not self._is_guarded:
            return self._asked
        if self._is_widened:
            return f"{self._asked}, widened by {self._written(self.guard)} (guarded rejection)"
        return f"{self._asked}, guarded by {self._written(self.guard)}"

    @property
    def _asked(self) -> str:
        return f"{self.bound} {self._written(self._magnitude)}"

    @property
    def guard(self) -> Fraction:
        """The width of the guard band, in the limit's unit; 0 where no uncertainty is stated."""
        return Fraction(self.uncertainty or 0) * Fraction(self.guard_factor)

    @property
    def acceptance(self) -> Magnitude:
        """The magnitude that decides, in the limit's unit: inside the limit where guarded, and
        outside it with guarded rejection."""
        if not self._is_guarded:
            return self._magnitude
        upwards = self.bound.is_lower is not self._is_widened
        return Fraction(self._magnitude) + (self.guard if upwards else -self.guard)

    @property
    def _is_guarded(self) -> bool:
        return self.decision is not Decision.SIMPLE and self.uncertainty is not None

    @property
    def _is_widened(self) -> bool:
        return self._is_guarded and self.decision is Decision.GUARDED_REJECTION

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
            source=f"{self.source}; {_UNCONFIRMED}" if self._is_widened else self.source,
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
        if self._met(value, limit):
            how = f"{self.text} is met" if met else f"inside the guard band of {self.text}"
            return f"{said}: {how}."
        by = abs(Fraction(value) - Fraction(limit))
        if not by:
            return f"{said}: lies on the limit, which asks for {self.text}."
        amount = f"{shown(by, self.places, Decimal(0))} {symbol}".strip()
        if self._is_widened:
            allows = f"the {self._written(self.guard)} that guarded rejection allows"
            within = "within" if met else "more than"
            return f"{said}: misses {self._asked} by {amount}, {within} {allows}."
        return f"{said}: misses {self.text} by {amount}."

    def _shown(self, value: Magnitude) -> str:
        """Rounded, but neither as the limit nor, where guarded, as what would be accepted."""
        return shown(value, self.places, self._magnitude, self.acceptance)

    def _guard_flags(self, value: Magnitude, limit: Magnitude) -> tuple[str, ...]:
        """The third answer beside pass and fail: the value lies within the guard of the limit."""
        if self.uncertainty is None or abs(Fraction(value) - Fraction(limit)) > self.guard:
            return ()
        if self._met(value, limit):
            return (f"{self.rule}: conditional pass",)
        accepted = self._is_widened and self._met(value, self.acceptance)
        how = ", accepted by guarded rejection" if accepted else ""
        return (f"{self.rule}: conditional fail{how}",)

    def _probability_flags(self, value: Magnitude, limit: Magnitude) -> tuple[str, ...]:
        if not self.probability or self.uncertainty is None:
            return ()
        inward = 1 if self.bound.is_lower else -1
        inside = inward * (Fraction(value) - Fraction(limit))
        other = self._other_limit
        inside_other = None if other is None else inward * (Fraction(other) - Fraction(value))
        chance = conformity_probability(inside, Fraction(self.uncertainty), inside_other)
        both = "" if other is None else f", the other limit being {self._written(other)}"
        return (f"{self.rule}: probability of conformity {chance:.3f}{both}",)

    @property
    def _other_limit(self) -> Magnitude | None:
        if isinstance(self.opposite, Quantity) and isinstance(self.value, Quantity):
            return self.opposite.magnitude_in(self.value.unit)
        return self.opposite if isinstance(self.opposite, Decimal) else None
