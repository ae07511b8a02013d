"""What a characteristic is: a declaration of what is read, what is asked, and how it is judged."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from qc.engine.fields import Field, InvalidValue, Kind, Values, object_schema, parse_fields
from qc.engine.quantities import Dimension, Magnitude, Quantity, dimension_of, unit_named
from qc.engine.rules import (
    Assessment,
    Bound,
    Decision,
    Finding,
    Limit,
    Outcome,
    Verdict,
    cannot_be_judged,
    enough_readings,
)

NO_SOURCE = "as given in the criteria; source not stated"


def decision_fields(dimension: Dimension | None = None, unit: str = "") -> tuple[Field, ...]:
    """The criteria every numeric characteristic takes beside its own: decision rule and U.

    The expanded uncertainty is a quantity of `dimension`, or a plain number where that is None.
    """
    return (
        Field(
            name="decision",
            label="Decision rule",
            kind=Kind.CHOICE,
            choices=tuple(Decision),
            help="simple unless the plan says otherwise; guarded accepts only what lies inside the "
            "limit by the expanded uncertainty, guarded rejection rejects only what lies beyond it "
            "by as much",
        ),
        Field(
            name="expanded_uncertainty",
            label="Expanded uncertainty (k = 2)",
            kind=Kind.QUANTITY if dimension else Kind.NUMBER,
            dimension=dimension,
            unit=unit,
            minimum=Decimal(0),
        ),
        Field(
            name="guard_factor",
            label="Guard band as a multiple of U",
            kind=Kind.NUMBER,
            minimum=Decimal(0),
            maximum=Decimal(3),
            places=2,
            help="1 unless the plan says otherwise (ILAC-G8:09/2019); 0.83 in ISO 14253-1:2017",
        ),
        Field(
            name="probability",
            label="State the probability of conformity",
            kind=Kind.BOOLEAN,
        ),
    )


class Criteria(Values):
    """The acceptance criteria of one step, with the source of each."""

    def __init__(self, values: Mapping[str, Any], sources: Mapping[str, str]) -> None:
        super().__init__(values)
        self._sources = sources

    def source(self, name: str) -> str:
        """Where the criterion `name` comes from."""
        return self._sources.get(name) or NO_SOURCE

    def limit(
        self,
        name: str,
        rule: str,
        label: str,
        bound: Bound,
        places: int = 1,
        value: Quantity | Decimal | None = None,
    ) -> Limit | None:
        """The limit set by criterion `name`, or None where the plan sets none.

        `value` replaces the criterion's own where the rule derives its limit from it (0.9 of a
        minimum, 80 % of a nominal); the source stays that of the criterion.
        """
        given = value if value is not None else (self.quantity(name) or self.number(name))
        if given is None:
            return None
        return Limit(
            rule=rule,
            label=label,
            value=given,
            bound=bound,
            source=self.source(name),
            decision=Decision(self.text("decision", Decision.SIMPLE)),
            uncertainty=self._uncertainty_in(given),
            guard_factor=self._guard_factor(),
            probability=self.flag("probability") is True,
            places=places,
            opposite=self._opposite(name) if given == self.get(name) else None,
        )

    def enough(
        self, name: str, rule: str, count: int, noun: str = "reading", *, which: str = ""
    ) -> Finding:
        """Whether `count` reaches the criterion `name`, which is 1 where the plan states none."""
        source = self.source(name) if name in self else "the plan states no number"
        return enough_readings(rule, count, self.integer(name, 1), noun, source, which=which)

    def _opposite(self, name: str) -> Quantity | Decimal | None:
        """The limit on the other side of the same quantity: `air_max` beside `air_min`."""
        for one, other in (("min", "max"), ("max", "min")):
            if name == one or name.endswith(f"_{one}"):
                found = self.get(f"{name.removesuffix(one)}{other}")
                return found if isinstance(found, Quantity | Decimal) else None
        return None

    @property
    def lacks_uncertainty(self) -> bool:
        """True where the decision is guarded, or a probability asked for, and no U is stated.

        The uncertainty of an instrument, as `humidity_uncertainty`, serves as well.
        """
        decision = self.text("decision", Decision.SIMPLE)
        guarded = decision != Decision.SIMPLE or self.flag("probability") is True
        return guarded and not any(n.endswith("uncertainty") and n in self for n in self)

    def _guard_factor(self) -> Decimal:
        stated = self.number("guard_factor")
        return Decimal(1) if stated is None else stated

    def _uncertainty_in(self, given: Quantity | Decimal) -> Magnitude | None:
        """U in the unit of the limit `given`; a difference where that is a temperature.

        None where U is none, or that of another kind of quantity.
        """
        stated = self.get("expanded_uncertainty")
        if isinstance(given, Quantity) and isinstance(stated, Quantity):
            unit = unit_named(given.unit, stated.dimension) or given.unit
            same_kind = dimension_of(unit) is stated.dimension
            return stated.magnitude_in(unit) if same_kind else None
        return stated if isinstance(given, Decimal) and isinstance(stated, Decimal) else None


@dataclass(frozen=True, kw_only=True)
class Places:
    """How the places are counted at which a surface is read.

    `rules` are those of `qc.engine.sampling`, by name; a criterion called `rule` chooses among
    them. `unless` names another rule where a criterion has a value, as `method=comparator`.
    `least` is the criterion that states a least number of places.
    """

    rules: tuple[str, ...]
    unless: Mapping[str, str] = field(default_factory=dict)
    least: str = ""

    def counted_by(self, criteria: Criteria) -> tuple[str, ...]:
        """The rules open to a plan with these criteria; one where it leaves no choice."""
        for asked, rule in self.unless.items():
            name, _, value = asked.partition("=")
            if criteria.get(name) == value:
                return (rule,)
        stated = tuple(rule for rule in self.rules if rule == criteria.get("rule"))
        return stated or self.rules


@dataclass(frozen=True, kw_only=True)
class Characteristic:
    """One thing an inspector checks.

    `criteria` and `reading` declare the fields of the plan's limits and of one reading; `computed`
    those of what the rules derive (with `per_reading` where each reading has its own). `assess`
    holds the rules. `ordered` names pairs of criteria of which the first may not exceed the
    second; `check` raises InvalidValue, under the path it is handed, where criteria make no sense
    in another way. `instruments` are the kinds of instrument the reading is taken with. `method`
    says in plain words how to take it, `cautions` what can hurt. `columns` are the fields a table
    of readings shows first, in this order; `spread_over_work` is True where readings are taken
    all through the work, so that each shows the outcome at its time; `places` where they are taken
    at places that stand for a surface.
    """

    key: str
    title: str
    schema_version: int
    criteria: tuple[Field, ...]
    reading: tuple[Field, ...]
    computed: tuple[Field, ...]
    assess: Callable[[Criteria, Sequence[Values]], Assessment]
    ordered: tuple[tuple[str, str], ...] = ()
    check: Callable[[Criteria, str], None] | None = None
    instruments: tuple[str, ...] = ()
    method: str = ""
    cautions: tuple[str, ...] = ()
    columns: tuple[str, ...] = ()
    spread_over_work: bool = False
    places: Places | None = None

    def parse_criteria(
        self, raw: Any, sources: Mapping[str, str] | None = None, path: str = "criteria"
    ) -> Criteria:
        """Typed criteria. InvalidValue names the field that is unknown, wrong or out of order."""
        parsed = parse_fields(self.criteria, raw, path)
        criteria = Criteria({name: parsed.get(name) for name in parsed}, sources or {})
        for low, high in self.ordered:
            self._in_order(criteria, low, high, path)
        if self.check is not None:
            self.check(criteria, path)
        return criteria

    def _in_order(self, criteria: Criteria, low: str, high: str, path: str) -> None:
        least, most = criteria.get(low), criteria.get(high)
        if least is not None and most is not None and least > most:
            raise InvalidValue(f"{path}.{low}", f"{least} is above {high}, {most}")

    def parse_reading(self, raw: Any, path: str = "reading") -> Values:
        """One typed reading. InvalidValue names the field."""
        return parse_fields(self.reading, raw, path)

    def judge(self, criteria: Criteria, readings: Sequence[Values]) -> Verdict:
        """The verdict on `readings`. No reading at all is incomplete, whatever the criteria."""
        if not readings:
            return Verdict.of(Assessment(findings=(self._no_reading(),)))
        assessment = self.assess(criteria, readings)
        findings = assessment.findings or (self._nothing_asked(),)
        if criteria.lacks_uncertainty:
            findings = (*findings, self._no_uncertainty())
        return Verdict.of(replace(assessment, findings=findings))

    def _no_reading(self) -> Finding:
        return Finding(
            rule=f"{self.key}.readings",
            outcome=Outcome.INCOMPLETE,
            observed="0",
            limit="at least 1",
            statement="No reading has been taken.",
        )

    def _nothing_asked(self) -> Finding:
        return cannot_be_judged(
            f"{self.key}.criteria", "The plan asks for nothing that these readings could meet."
        )

    def _no_uncertainty(self) -> Finding:
        return cannot_be_judged(
            f"{self.key}.decision",
            "A guarded decision needs expanded_uncertainty, which the plan does not state.",
        )

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of a case of this characteristic."""
        return {
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "title": f"Case: {self.title}",
            "type": "object",
            "additionalProperties": False,
            "required": ["characteristic", "criteria", "readings"],
            "properties": {
                "characteristic": {"const": self.key},
                "criteria": object_schema(self.criteria),
                "sources": {"type": "object", "additionalProperties": {"type": "string"}},
                "readings": {"type": "array", "items": object_schema(self.reading)},
            },
        }
