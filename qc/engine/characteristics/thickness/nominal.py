"""Rules that hold readings against a nominal thickness: ISO 19840 and 90/10."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.thickness.limits import thickness_limit
from qc.engine.characteristics.thickness.measured import Measured
from qc.engine.characteristics.thickness.sampling import (
    iso19840_readings,
    iso19840_too_large,
    ninety_ten_readings,
)
from qc.engine.formulas.column import Column
from qc.engine.formulas.statistics import scaled
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Bound,
    Finding,
    Limit,
    cannot_be_judged,
    enough_readings,
    judge_column,
)
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.thickness")


@dataclass(frozen=True)
class NominalRule:
    """What sets one rule apart: its id, figures, whether the mean counts, and the count by area."""

    key: str
    table: dict[str, Any]
    mean_counts: bool
    readings: Callable[[Quantity], int]
    readings_source: str


ISO19840 = NominalRule(
    key="thickness.iso19840",
    table=_TABLES["iso19840"],
    mean_counts=True,
    readings=iso19840_readings,
    readings_source=_TABLES["iso19840"]["readings"]["source"],
)
NINETY_TEN = NominalRule(
    key="thickness.90-10",
    table=_TABLES["ninety_ten"],
    mean_counts=False,
    readings=ninety_ten_readings,
    readings_source=_TABLES["ninety_ten"]["readings_source"],
)


def share_below(column: Column, nominal: Quantity) -> Fraction:
    """The share of values below `nominal`, in per cent, exact."""
    return Fraction(100 * column.below(nominal.magnitude_in(column.unit)), len(column))


def judge_nominal(
    rule: NominalRule, criteria: Criteria, spread: Measured | None, every: Measured
) -> list[Finding]:
    """The findings of a rule against the nominal thickness.

    `spread` holds the readings spread over the area, from which count, mean and share are taken;
    `every` also those taken where the coating looked thin.
    """
    nominal = criteria.quantity("nominal")
    findings = [_enough(rule, criteria, len(spread.column) if spread else 0)]
    if nominal is None:
        missing = "The plan sets no nominal thickness, which this rule needs."
        return [*findings, cannot_be_judged(f"{rule.key}.nominal", missing)]
    if spread and rule.mean_counts:
        findings += _mean_finding(rule, criteria, spread.column)
    findings += _least_finding(rule, criteria, every, nominal)
    if spread:
        findings.append(_share_finding(rule, criteria, spread.column, nominal))
    return findings


def nominal_flags(rule: NominalRule, criteria: Criteria) -> list[str]:
    """What the number of readings could not be derived from, and areas that are too large."""
    area = criteria.quantity("area")
    if area is None and "readings_min" not in criteria:
        return [f"{rule.key}.readings: the plan states no area, so no number is derived"]
    if area is not None and rule is ISO19840 and iso19840_too_large(area):
        return [f"{rule.key}.readings: divide areas above 1000 m2 into inspection areas"]
    return []


def _enough(rule: NominalRule, criteria: Criteria, count: int) -> Finding:
    """The greater of the numbers that the area and the plan ask for."""
    area, name = criteria.quantity("area"), f"{rule.key}.readings"
    by_area = rule.readings(area) if area else 0
    if by_area < criteria.integer("readings_min", 1):
        return criteria.enough("readings_min", name, count)
    return enough_readings(name, count, by_area, source=rule.readings_source)


def _mean_finding(rule: NominalRule, criteria: Criteria, column: Column) -> list[Finding]:
    limit = thickness_limit(
        criteria,
        "nominal",
        f"{rule.key}.mean",
        "Thickness",
        Bound.AT_LEAST,
        statistic="mean",
        source=rule.table["source"],
    )
    mean = Quantity(column.mean, column.unit)
    return [limit.judge(mean, f"mean of {len(column)}")] if limit else []


def _least_finding(
    rule: NominalRule, criteria: Criteria, every: Measured, nominal: Quantity
) -> list[Finding]:
    share = Decimal(rule.table["least_share_of_nominal"])
    limit = thickness_limit(
        criteria,
        "nominal",
        f"{rule.key}.least",
        f"Thickness against {share * 100:.0f} % of nominal",
        Bound.AT_LEAST,
        value=scaled(nominal, share),
        source=rule.table["source"],
    )
    return [judge_column(limit, every.column, every.name)] if limit else []


def _share_finding(
    rule: NominalRule, criteria: Criteria, column: Column, nominal: Quantity
) -> Finding:
    strict = rule is ISO19840 and criteria.text("share_bound", "less_than") == "less_than"
    limit = Limit(
        rule=f"{rule.key}.share",
        label="Share of values below nominal",
        value=Quantity(Decimal(rule.table["share_limit"]), "%"),
        bound=Bound.BELOW if strict else Bound.AT_MOST,
        source=rule.table["source"],
    )
    return limit.judge(Quantity(share_below(column, nominal), "%"))
