"""How far a cure is: the measure the plan asks for, its rate and the value at which it is done."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from qc.engine.characteristic import Criteria
from qc.engine.formulas.elapsed import hours_of
from qc.engine.formulas.kinetics import (
    Rate,
    age_factor,
    arrhenius_time,
    colder_row,
    degree_hours,
    log_time,
)
from qc.engine.quantities import Dimension, Quantity

TABLE_MODES = ("colder_row", "log", "arrhenius")
AGE_MODES = {"equivalent_age": Dimension.TIME, "maturity": Dimension.TEMPERATURE_TIME}
MODES = (*TABLE_MODES, *AGE_MODES)
DEFAULT_MODE = "colder_row"
"""The colder row is the longer time: the safe side of a published table."""

UNITS = {"fraction": "", "equivalent_age": "hour", "maturity": "degC_hour"}


@dataclass(frozen=True)
class Measure:
    """One way to reckon a cure.

    `rate` is its progress an hour, None where `missing` says what the plan lacks for it;
    `target` the value at which the cure is complete, None where the plan asks for none.
    """

    name: str
    label: str
    rate: Rate | None
    target: Fraction | None
    source: str
    missing: str = ""

    @property
    def unit(self) -> str:
        """The unit of its values, "" for a plain number."""
        return UNITS[self.name]


def mode_of(criteria: Criteria) -> str:
    """The mode of the plan."""
    return criteria.text("mode", DEFAULT_MODE)


def measures(criteria: Criteria) -> tuple[Measure, ...]:
    """The three measures, each with what the plan gives for it."""
    return _fraction(criteria), _equivalent_age(criteria), _maturity(criteria)


def judged(criteria: Criteria, known: tuple[Measure, ...]) -> list[Measure]:
    """Those of `measures` that decide: that of the mode, and that of a least age beside a table."""
    fraction, age, maturity = known
    by_mode = {"equivalent_age": age, "maturity": maturity}.get(mode_of(criteria), fraction)
    least = criteria.quantity("age_min")
    if by_mode is not fraction or least is None:
        return [by_mode]
    beside = age if least.dimension is Dimension.TIME else maturity
    return [fraction, beside] if "table" in criteria else [beside]


def _fraction(criteria: Criteria) -> Measure:
    rows = criteria.table("table")
    return Measure(
        name="fraction",
        label="Fraction of the cure time",
        rate=_table_rate(rows, mode_of(criteria)) if rows else None,
        target=Fraction(1),
        source=criteria.source("table"),
        missing="" if rows else "a table of cure time by temperature",
    )


def _table_rate(table: Sequence[tuple[Quantity, Quantity]], mode: str) -> Rate:
    rows = [(Fraction(at.magnitude_in("degC")), hours_of(time)) for at, time in table]
    time_at = {"log": log_time, "arrhenius": arrhenius_time}.get(mode, colder_row)

    @cache
    def an_hour(celsius: Fraction) -> Fraction:
        hours = time_at(rows, celsius)
        return Fraction(0) if hours is None else 1 / hours

    if time_at is colder_row:
        return lambda part: an_hour(part.colder)
    return lambda part: an_hour(part.mean)


def _equivalent_age(criteria: Criteria) -> Measure:
    activation = criteria.quantity("activation_temperature")
    reference = criteria.quantity("reference")
    rate = None
    if activation is not None and reference is not None:
        rate = _age_rate(activation, reference, _datum(criteria))
    return Measure(
        name="equivalent_age",
        label="Equivalent age, by the mean temperature of each interval,",
        rate=rate,
        target=_target(criteria, Dimension.TIME, "hour"),
        source=criteria.source("age_min"),
        missing="" if rate else "an activation temperature and a reference temperature",
    )


def _age_rate(activation: Quantity, reference: Quantity, datum: Fraction | None) -> Rate:
    kelvin = Fraction(activation.magnitude_in("K"))
    standard = Fraction(reference.magnitude_in("degC"))

    @cache
    def an_hour(celsius: Fraction) -> Fraction:
        if datum is not None and celsius < datum:
            return Fraction(0)
        return age_factor(celsius, kelvin, standard)

    return lambda part: an_hour(part.mean)


def _maturity(criteria: Criteria) -> Measure:
    datum = _datum(criteria)
    return Measure(
        name="maturity",
        label="Maturity, by the mean temperature of each interval,",
        rate=None if datum is None else lambda part: degree_hours(part.mean, datum),
        target=_target(criteria, Dimension.TEMPERATURE_TIME, "degC_hour"),
        source=criteria.source("age_min"),
        missing="a datum temperature" if datum is None else "",
    )


def _datum(criteria: Criteria) -> Fraction | None:
    datum = criteria.quantity("datum")
    return None if datum is None else Fraction(datum.magnitude_in("degC"))


def _target(criteria: Criteria, dimension: Dimension, unit: str) -> Fraction | None:
    least: Quantity | None = criteria.quantity("age_min")
    if least is None or least.dimension is not dimension:
        return None
    return Fraction(least.magnitude_in(unit))
