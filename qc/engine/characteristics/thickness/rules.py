"""Judges thickness readings by the rule the plan names."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.thickness.gauge import gauge_findings, gauge_flags
from qc.engine.characteristics.thickness.limits import thickness_limit
from qc.engine.characteristics.thickness.mapping import mapped, mapping_task
from qc.engine.characteristics.thickness.measured import (
    Measured,
    Taken,
    all_plain,
    measured,
    problem,
)
from qc.engine.characteristics.thickness.minimum import flushness_findings, judge_minimum
from qc.engine.characteristics.thickness.nominal import (
    ISO19840,
    NINETY_TEN,
    judge_nominal,
    nominal_flags,
    share_below,
)
from qc.engine.characteristics.thickness.notes import notes
from qc.engine.characteristics.thickness.pa2 import areas_of, judge_pa2, pa2_flags
from qc.engine.fields import Values
from qc.engine.formulas.column import Column
from qc.engine.quantities import Quantity
from qc.engine.rules import Assessment, Bound, Finding, Outcome, cannot_be_judged, judge_column


@dataclass(frozen=True)
class _Sorted:
    """The readings by what they are for: spread over the area, all that are judged one by one
    (also extra ones on thin places), and those that map a nonconforming area."""

    spread: Taken
    every: Taken
    mapping: Taken


def assess_thickness(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """The verdict on all readings; their order matters to SSPC-PA 2 only."""
    taken = Taken(list(range(1, len(readings) + 1)), list(readings))
    usable, data = _usable(taken)
    sets = _sorted(criteria, usable)
    if not len(sets.every):
        return Assessment(findings=(*data, _none_to_judge()), flags=tuple(notes(criteria, usable)))
    every = measured(criteria, sets.every)
    spread = every if len(sets.spread) == len(sets.every) else None
    if spread is None and len(sets.spread):
        spread = measured(criteria, sets.spread)
    judged = _findings(criteria, usable, sets, spread, every)
    return Assessment(
        findings=(*data, *judged),
        computed=_computed(criteria, spread, every),
        flags=(*_flags(criteria, sets, judged), *notes(criteria, usable)),
    )


def _usable(taken: Taken) -> tuple[Taken, list[Finding]]:
    """(readings that give a thickness, a finding for each that gives none)."""
    if all_plain(taken):
        return taken, []
    problems = [(number, problem(reading)) for number, reading in taken]
    data = [
        cannot_be_judged("thickness.data", f"Reading {number}: {said}.")
        for number, said in problems
        if said
    ]
    return (taken.where(lambda reading: not problem(reading)) if data else taken), data


def _sorted(criteria: Criteria, taken: Taken) -> _Sorted:
    every, mapping = taken, Taken([], [])
    if criteria.text("rule") == "pa2" and "maps" in taken.given:
        every = taken.where(lambda reading: "maps" not in reading)
        mapping = taken.where(lambda reading: "maps" in reading)
    if "extra" not in every.given:
        return _Sorted(every, every, mapping)
    spread = every.where(lambda reading: reading.flag("extra") is not True)
    return _Sorted(spread, every, mapping)


def _none_to_judge() -> Finding:
    return Finding(
        rule="thickness.readings",
        outcome=Outcome.INCOMPLETE,
        observed="0",
        limit="at least 1",
        statement="There is no reading that can be judged.",
    )


def _findings(
    criteria: Criteria, taken: Taken, sets: _Sorted, spread: Measured | None, every: Measured
) -> list[Finding]:
    findings = [
        *_by_rule(criteria, sets, spread, every),
        *_range_findings(criteria, every),
        *_below_zero(every.column),
        *flushness_findings(criteria, sets.every),
        *gauge_findings(criteria, taken),
    ]
    if len(sets.mapping):
        findings += mapped(criteria, sets.mapping, measured(criteria, sets.mapping))
    return findings


def _by_rule(
    criteria: Criteria, sets: _Sorted, spread: Measured | None, every: Measured
) -> list[Finding]:
    match criteria.text("rule"):
        case "iso19840":
            return judge_nominal(ISO19840, criteria, spread, every)
        case "90-10":
            return judge_nominal(NINETY_TEN, criteria, spread, every)
        case "pa2":
            return judge_pa2(criteria, spread, every)
        case "wet_film":
            return _wet_film(criteria, every.column)
        case _:
            return judge_minimum(criteria, sets.every, every)


def _wet_film(criteria: Criteria, column: Column) -> list[Finding]:
    findings = [criteria.enough("readings_min", "thickness.wet_film.readings", len(column))]
    if "min" not in criteria and "max" not in criteria:
        missing = "The plan sets neither min nor max for the wet film."
        findings.append(cannot_be_judged("thickness.wet_film.range", missing))
    return findings


def _range_findings(criteria: Criteria, every: Measured) -> list[Finding]:
    """Limits on every single value, which any rule but SSPC-PA 2 may have beside its own."""
    rule = criteria.text("rule")
    if rule == "pa2":
        return []
    key = f"thickness.{rule}"
    limits = [thickness_limit(criteria, "max", f"{key}.max", "Thickness", Bound.AT_MOST)]
    if rule != "minimum":
        limits.append(thickness_limit(criteria, "min", f"{key}.min", "Thickness", Bound.AT_LEAST))
    return [judge_column(limit, every.column, every.name) for limit in limits if limit]


def _below_zero(column: Column) -> list[Finding]:
    if column.value(column.lowest) >= 0:
        return []
    said = "A reading is less than the correction taken off it."
    return [cannot_be_judged("thickness.data", said)]


def _flags(criteria: Criteria, sets: _Sorted, findings: Sequence[Finding]) -> list[str]:
    flags = gauge_flags(criteria, sets.every)
    match criteria.text("rule"):
        case "iso19840":
            flags += nominal_flags(ISO19840, criteria)
        case "90-10":
            flags += nominal_flags(NINETY_TEN, criteria)
        case "pa2":
            flags += pa2_flags(criteria)
            failed = any(found.outcome is Outcome.DOES_NOT_CONFORM for found in findings)
            if failed and not len(sets.mapping):
                flags.append(mapping_task())
    return flags


def _computed(criteria: Criteria, spread: Measured | None, every: Measured) -> dict[str, Any]:
    """`mean` and `share_below_nominal` are those of the readings spread over the area; with
    SSPC-PA 2, `mean` and `lowest` are those of spots, as single readings are not judged."""
    found: dict[str, Any] = {"corrected": every.column.texts()}
    judged, averaged = every.column, spread.column if spread else None
    nominal = criteria.quantity("nominal")
    if nominal is not None and averaged is not None:
        share = share_below(averaged, nominal)
        found["share_below_nominal"] = str(Quantity(share, "%"))
    if criteria.text("rule") == "pa2":
        judged, averaged = every.means, spread.means if spread else None
        areas = areas_of(averaged) if averaged else None
        found |= {"spots": judged.texts(), "areas": areas.texts() if areas else []}
    found["lowest"] = str(Quantity(judged.value(judged.lowest), judged.unit))
    if averaged is not None:
        found["mean"] = str(Quantity(averaged.mean, averaged.unit))
        found |= _dry_film(criteria, averaged)
    return found


def _dry_film(criteria: Criteria, wet: Column) -> dict[str, str]:
    """The dry film a wet film leaves: its mean times the volume solids; an estimate."""
    solids = criteria.quantity("volume_solids")
    if solids is None or criteria.text("rule") != "wet_film":
        return {}
    dry = wet.mean * Fraction(solids.magnitude_in("%")) / 100
    return {"dry_expected": str(Quantity(dry, wet.unit))}
