"""SSPC-PA 2: spots of three readings, areas of five spots, five levels of restriction."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.thickness.corrected import Corrected
from qc.engine.characteristics.thickness.sampling import pa2_areas
from qc.engine.formulas.statistics import mean, scaled
from qc.engine.rules import (
    Bound,
    Finding,
    Limit,
    Outcome,
    cannot_be_judged,
    enough_readings,
    judge_each,
)
from qc.engine.standards.tables import load_tables

_PA2 = load_tables("qc.engine.characteristics.thickness")["pa2"]
_PER_SPOT = int(_PA2["readings_per_spot"])
_PER_AREA = int(_PA2["spots_per_area"])
_SIDES = (("min", Bound.AT_LEAST), ("max", Bound.AT_MOST))


def spot_means(corrected: Corrected) -> list[Fraction]:
    """The mean of each reading, which is a spot."""
    return [mean(corrected.of_reading(i)) for i in range(len(corrected.ends))]


def area_means(spots: Sequence[Fraction]) -> list[Fraction]:
    """The mean of each five spots in order; spots short of five make no area."""
    whole = len(spots) // _PER_AREA
    return [mean(spots[i * _PER_AREA : (i + 1) * _PER_AREA]) for i in range(whole)]


def judge_pa2(criteria: Criteria, corrected: Corrected) -> tuple[list[Finding], list[str]]:
    """(findings, flags). Single gauge readings are not judged; only the side of the range that the
    plan sets is."""
    spots = spot_means(corrected)
    findings, flags = _enough(criteria, corrected, spots)
    if "min" not in criteria and "max" not in criteria:
        missing = "The plan sets neither min nor max, which this rule needs."
        return [*findings, cannot_be_judged("thickness.pa2.range", missing)], flags
    judged = _judged(criteria, "spot", spots, corrected.unit)
    judged += _judged(criteria, "area", area_means(spots), corrected.unit)
    if any(found.outcome is Outcome.DOES_NOT_CONFORM for found in judged):
        flags.append(
            "thickness.pa2.mapping: map each failing area: spots 1.5 m (5 ft) apart in "
            "all directions until two in a row lie within the specified range, without the "
            "allowance for spots, or the surface ends; record the extent (SSPC-PA 2)"
        )
    return findings + judged, flags


def _enough(
    criteria: Criteria, corrected: Corrected, spots: Sequence[Fraction]
) -> tuple[list[Finding], list[str]]:
    area = criteria.quantity("area")
    required = pa2_areas(area) if area else 1
    stated = "" if area else "the plan states no area; one area of five spots is asked for"
    flags = [f"thickness.pa2.spots: {stated}"] if stated else []
    open_spots = -len(spots) % _PER_AREA
    return [
        _enough_in_spots(corrected),
        enough_readings(
            "thickness.pa2.spots",
            len(spots),
            max(required * _PER_AREA, len(spots) + open_spots),
            noun="spots",
            source=_PA2["source"],
        ),
        *_enough_by_plan(criteria, corrected),
    ], flags


def _enough_by_plan(criteria: Criteria, corrected: Corrected) -> list[Finding]:
    if "readings_min" not in criteria:
        return []
    asked = criteria.integer("readings_min")
    source = criteria.source("readings_min")
    count = len(corrected.values)
    return [enough_readings("thickness.pa2.readings_min", count, asked, source=source)]


def _enough_in_spots(corrected: Corrected) -> Finding:
    counts = [len(corrected.of_reading(i)) for i in range(len(corrected.ends))]
    fewest = min(counts)
    noun = f"gauge readings at spot {counts.index(fewest) + 1}, which has the fewest,"
    return enough_readings(
        "thickness.pa2.readings", fewest, _PER_SPOT, noun=noun, source=_PA2["source"]
    )


def _judged(criteria: Criteria, what: str, means: Sequence[Fraction], unit: str) -> list[Finding]:
    limits = (_limit(criteria, what, side, bound) for side, bound in _SIDES)
    if not means:
        return []
    return [
        judge_each(limit, means, unit, lambda i: f"{what} {i + 1}", f"{what}s")
        for limit in limits
        if limit is not None
    ]


def _limit(criteria: Criteria, what: str, side: str, bound: Bound) -> Limit | None:
    level = criteria.integer("level", int(_PA2["level"]))
    figures: dict[str, Any] = _PA2["levels"][str(level)]
    specified, factor = criteria.quantity(side), figures.get(f"{what}_{side}")
    if specified is None or factor is None:
        return None
    limit = criteria.limit(
        side,
        f"thickness.pa2.{what}_{side}",
        f"Thickness of the {what} (level {level})",
        bound,
        value=scaled(specified, Decimal(factor)),
    )
    confirmed = level == int(_PA2["level"])
    source = _PA2["source"] if confirmed else _PA2["unconfirmed"]
    return replace(limit, source=f"{limit.source}; {source}") if limit else None
