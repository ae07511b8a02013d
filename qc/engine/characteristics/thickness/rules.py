"""Judges thickness readings by the rule the plan names."""

from collections.abc import Sequence
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.thickness.corrected import Corrected, corrected
from qc.engine.characteristics.thickness.minimum import judge_minimum
from qc.engine.characteristics.thickness.nominal import (
    ISO19840,
    NINETY_TEN,
    judge_nominal,
    share_below,
)
from qc.engine.characteristics.thickness.pa2 import area_means, judge_pa2, spot_means
from qc.engine.fields import Values
from qc.engine.formulas.statistics import mean
from qc.engine.quantities import Magnitude, Quantity, decimal_text
from qc.engine.rules import Assessment, Bound, Finding, cannot_be_judged, judge_each


def assess_thickness(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """The verdict on all readings; their order matters to SSPC-PA 2 only."""
    series = corrected(criteria, readings)
    rule = criteria.text("rule")
    findings, flags = _by_rule(rule, criteria, readings, series)
    if rule != "pa2":
        findings += _range_findings(rule, criteria, series)
    findings += _data_findings(criteria, readings, series)
    return Assessment(
        findings=tuple(findings),
        computed=_computed(rule, criteria, series),
        flags=(*flags, *_correction_flags(rule, criteria, readings)),
    )


def _by_rule(
    rule: str, criteria: Criteria, readings: Sequence[Values], series: Corrected
) -> tuple[list[Finding], list[str]]:
    match rule:
        case "iso19840":
            return judge_nominal(ISO19840, criteria, series)
        case "90-10":
            return judge_nominal(NINETY_TEN, criteria, series)
        case "pa2":
            return judge_pa2(criteria, series)
        case _:
            return judge_minimum(criteria, readings, series)


def _range_findings(rule: str, criteria: Criteria, series: Corrected) -> list[Finding]:
    """Limits on every single value, which any rule but SSPC-PA 2 may have beside its own."""
    least = criteria.limit("min", f"thickness.{rule}.min", "Thickness", Bound.AT_LEAST)
    most = criteria.limit("max", f"thickness.{rule}.max", "Thickness", Bound.AT_MOST)
    limits = (None if rule == "minimum" else least, most)
    return [judge_each(x, series.values, series.unit, series.name) for x in limits if x]


def _data_findings(
    criteria: Criteria, readings: Sequence[Values], series: Corrected
) -> list[Finding]:
    found = []
    if min(series.values) < 0:
        found.append(
            cannot_be_judged(
                "thickness.data", "A reading is less than the correction taken off it."
            )
        )
    magnetic = [i for i, r in enumerate(readings, 1) if r.text("gauge") == "magnetic"]
    if criteria.flag("metal_filled") and magnetic:
        found.append(_metal_filled(magnetic))
    return found


def _metal_filled(magnetic: Sequence[int]) -> Finding:
    return cannot_be_judged(
        "thickness.metal_filled",
        f"{len(magnetic)} readings, the first of them reading {magnetic[0]}, were taken with a "
        f"magnetic gauge, which misreads on a metal-filled product; use a depth gauge or the "
        f"difference of caliper readings.",
        "ASTM D7091, caution on metal-filled coatings, read second-hand",
    )


def _correction_flags(rule: str, criteria: Criteria, readings: Sequence[Values]) -> list[str]:
    flags = []
    if rule == "iso19840" and "surface_profile" not in criteria:
        flags.append(
            "thickness.correction: the plan states no surface_profile, so nothing is taken off for "
            "it; ISO 19840 takes off 25 um where the profile is not known"
        )
    if any("base_metal_reading" in r for r in readings) and "surface_profile" in criteria:
        flags.append(
            "thickness.correction: where a base metal reading is given it replaces the correction "
            "for the profile"
        )
    return flags


def _computed(rule: str, criteria: Criteria, series: Corrected) -> dict[str, Any]:
    nominal = criteria.quantity("nominal")
    found: dict[str, Any] = {
        "corrected": _texts(series.values, series.unit),
        "share_below_nominal": str(Quantity(share_below(series, nominal), "%"))
        if nominal
        else None,
    }
    if rule != "pa2":
        lowest = min(series.values)
        return found | _summary(mean(series.values), lowest, series.unit)
    spots = spot_means(series)
    found["spots"] = _texts(spots, series.unit)
    found["areas"] = _texts(area_means(spots), series.unit)
    return found | _summary(mean(spots), min(spots), series.unit)


def _texts(values: Sequence[Magnitude], unit: str) -> list[str]:
    return [f"{decimal_text(value)} {unit}" for value in values]


def _summary(average: Magnitude, lowest: Magnitude, unit: str) -> dict[str, str]:
    return {"mean": str(Quantity(average, unit)), "lowest": str(Quantity(lowest, unit))}
