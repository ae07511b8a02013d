"""SSPC-PA 2: spots of three gauge readings, areas of five spots, five levels of restriction.

A reading of the record is a spot.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.thickness.limits import thickness_limit
from qc.engine.characteristics.thickness.measured import Measured
from qc.engine.characteristics.thickness.sampling import pa2_areas
from qc.engine.formulas.column import Column
from qc.engine.formulas.statistics import scaled, totals
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

_PA2 = load_tables("qc.engine.characteristics.thickness")["pa2"]
_PER_SPOT = int(_PA2["readings_per_spot"])
_PER_AREA = int(_PA2["spots_per_area"])
_SIDES = (("min", Bound.AT_LEAST), ("max", Bound.AT_MOST))


def areas_of(spots: Column) -> Column | None:
    """The mean of each five spots in order; None where there are fewer than five."""
    ends = range(_PER_AREA, len(spots) + 1, _PER_AREA)
    if not ends:
        return None
    return Column(totals(spots.entered, ends), spots.unit, spots.scale / _PER_AREA, spots.shift)


def judge_pa2(criteria: Criteria, spread: Measured | None, every: Measured) -> list[Finding]:
    """The findings. Single gauge readings are not judged, and only the side of the range that the
    plan sets is. Spots in `every` but not in `spread` belong to no area."""
    findings = [_enough_in_spots(every), *_enough_spots(criteria, spread)]
    if "min" not in criteria and "max" not in criteria:
        missing = "The plan sets neither min nor max, which this rule needs."
        return [*findings, cannot_be_judged("thickness.pa2.range", missing)]
    findings += _judged(criteria, "spot", every.means, every.numbers)
    areas = areas_of(spread.means) if spread else None
    if areas is not None:
        findings += _judged(criteria, "area", areas, range(1, len(areas) + 1))
    return findings


def pa2_flags(criteria: Criteria) -> list[str]:
    """What is asked for where the plan states no area."""
    if "area" in criteria:
        return []
    return ["thickness.pa2.spots: the plan states no area; one area of five spots is asked for"]


def _enough_spots(criteria: Criteria, spread: Measured | None) -> list[Finding]:
    """Spots for all areas asked for, and five for every area begun."""
    area = criteria.quantity("area")
    count = len(spread.ends) if spread else 0
    asked = (pa2_areas(area) if area else 1) * _PER_AREA
    begun = count + -count % _PER_AREA
    findings = [
        enough_readings(
            "thickness.pa2.spots", count, max(asked, begun), noun="spot", source=_PA2["source"]
        )
    ]
    if "readings_min" in criteria:
        values = len(spread.column) if spread else 0
        findings.append(criteria.enough("readings_min", "thickness.pa2.readings_min", values))
    return findings


def _enough_in_spots(every: Measured) -> Finding:
    fewest = min(every.counts)
    which = f"at spot {every.numbers[every.counts.index(fewest)]}"
    if len(every.counts) > 1:
        which += ", which has the fewest"
    return enough_readings(
        "thickness.pa2.readings",
        fewest,
        _PER_SPOT,
        "gauge reading",
        _PA2["source"],
        which=which,
    )


def _judged(
    criteria: Criteria, what: str, means: Column, numbers: list[int] | range
) -> list[Finding]:
    limits = (_limit(criteria, what, side, bound) for side, bound in _SIDES)
    return [
        judge_column(limit, means, lambda i: f"{what} {numbers[i]}", f"{what}s")
        for limit in limits
        if limit is not None
    ]


def _limit(criteria: Criteria, what: str, side: str, bound: Bound) -> Limit | None:
    level = criteria.integer("level", int(_PA2["level"]))
    value = _allowed(criteria, level, what, side)
    if value is None:
        return None
    confirmed = level == int(_PA2["level"])
    limit = thickness_limit(
        criteria,
        side,
        f"thickness.pa2.{what}_{side}",
        f"Thickness of the {what}, level {level}",
        bound,
        value=value,
        statistic="single" if what == "spot" else "mean",
        source=_PA2["source"] if confirmed else _PA2["unconfirmed"],
    )
    (other,) = (name for name, _ in _SIDES if name != side)
    return limit and replace(limit, opposite=_allowed(criteria, level, what, other))


def _allowed(criteria: Criteria, level: int, what: str, side: str) -> Quantity | None:
    """What the level makes of the plan's `side` for a spot or an area; None where that is free."""
    figures: dict[str, Any] = _PA2["levels"][str(level)]
    specified, factor = criteria.quantity(side), figures.get(f"{what}_{side}")
    if specified is None or factor is None:
        return None
    return scaled(specified, Decimal(factor))
