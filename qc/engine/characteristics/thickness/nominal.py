"""Rules that hold readings against a nominal thickness: ISO 19840 and 90/10."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.thickness.corrected import Corrected
from qc.engine.characteristics.thickness.sampling import (
    iso19840_readings,
    iso19840_too_large,
    ninety_ten_readings,
)
from qc.engine.formulas.statistics import mean, scaled
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Bound,
    Finding,
    Limit,
    cannot_be_judged,
    enough_readings,
    judge_each,
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


ISO19840 = NominalRule("thickness.iso19840", _TABLES["iso19840"], True, iso19840_readings)
NINETY_TEN = NominalRule("thickness.90-10", _TABLES["ninety_ten"], False, ninety_ten_readings)


def share_below(corrected: Corrected, nominal: Quantity) -> Fraction:
    """The share of values below `nominal`, in per cent, exact."""
    threshold = nominal.magnitude_in(corrected.unit)
    below = sum(1 for value in corrected.values if value < threshold)
    return Fraction(100 * below, len(corrected.values))


def judge_nominal(
    rule: NominalRule, criteria: Criteria, corrected: Corrected
) -> tuple[list[Finding], list[str]]:
    """(findings, flags) of a rule against the nominal thickness."""
    nominal = criteria.quantity("nominal")
    enough, flags = _enough(rule, criteria, corrected)
    if nominal is None:
        missing = "The plan sets no nominal thickness, which this rule needs."
        return [enough, cannot_be_judged(f"{rule.key}.nominal", missing)], flags
    findings = [enough]
    if rule.mean_counts:
        findings.append(_mean_finding(rule, criteria, corrected))
    findings.append(_least_finding(rule, criteria, corrected, nominal))
    findings.append(_share_finding(rule, criteria, corrected, nominal))
    return findings, flags


def _enough(
    rule: NominalRule, criteria: Criteria, corrected: Corrected
) -> tuple[Finding, list[str]]:
    area = criteria.quantity("area")
    by_plan = criteria.integer("readings_min", 1)
    by_area = rule.readings(area) if area else 0
    flags = []
    if area is None and "readings_min" not in criteria:
        flags.append(f"{rule.key}.readings: the plan states no area, so no number is derived")
    if area is not None and rule is ISO19840 and iso19840_too_large(area):
        flags.append(f"{rule.key}.readings: divide areas above 1000 m2 into inspection areas")
    table = rule.table.get("readings", rule.table)
    derived = table.get("readings_source", table["source"])
    source = derived if by_area >= by_plan else criteria.source("readings_min")
    found = enough_readings(
        f"{rule.key}.readings", len(corrected.values), max(by_plan, by_area), source=source
    )
    return found, flags


def _mean_finding(rule: NominalRule, criteria: Criteria, corrected: Corrected) -> Finding:
    limit = criteria.limit("nominal", f"{rule.key}.mean", "Mean dry film thickness", Bound.AT_LEAST)
    count = len(corrected.values)
    return _sourced(limit, rule).judge(
        Quantity(mean(corrected.values), corrected.unit), f"mean of {count}"
    )


def _least_finding(
    rule: NominalRule, criteria: Criteria, corrected: Corrected, nominal: Quantity
) -> Finding:
    share = Decimal(rule.table["least_share_of_nominal"])
    limit = criteria.limit(
        "nominal",
        f"{rule.key}.least",
        f"Dry film thickness against {share * 100:.0f} % of nominal",
        Bound.AT_LEAST,
        value=scaled(nominal, share),
    )
    return judge_each(_sourced(limit, rule), corrected.values, corrected.unit, corrected.name)


def _share_finding(
    rule: NominalRule, criteria: Criteria, corrected: Corrected, nominal: Quantity
) -> Finding:
    strict = rule is ISO19840 and criteria.text("share_bound", "less_than") == "less_than"
    limit = Limit(
        rule=f"{rule.key}.share",
        label="Share of values below nominal",
        value=Quantity(Decimal(rule.table["share_limit"]), "%"),
        bound=Bound.BELOW if strict else Bound.AT_MOST,
        source=rule.table["source"],
    )
    return limit.judge(Quantity(share_below(corrected, nominal), "%"))


def _sourced(limit: Limit | None, rule: NominalRule) -> Limit:
    """The limit with the rule's own source beside that of the nominal thickness."""
    if limit is None:
        raise ValueError(f"{rule.key}: judged without a nominal thickness")
    return replace(limit, source=f"{limit.source}; {rule.table['source']}")
