"""Every value at least the minimum, of its zone where the plan has zones: fillers and laminates."""

from collections.abc import Sequence

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.thickness.corrected import Corrected
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Bound,
    Finding,
    Outcome,
    cannot_be_judged,
    enough_readings,
    judge_each,
)

KEY = "thickness.minimum"


def judge_minimum(
    criteria: Criteria, readings: Sequence[Values], corrected: Corrected
) -> tuple[list[Finding], list[str]]:
    """(findings, flags), whatever the order of the readings."""
    asked = criteria.integer("readings_min", 1)
    source = criteria.source("readings_min")
    findings = [enough_readings(f"{KEY}.readings", len(corrected.values), asked, source=source)]
    zones = {_plain(zone.text("zone")): zone for zone in criteria.groups("zones")}
    if "min" not in criteria and not zones:
        findings.append(cannot_be_judged(f"{KEY}.min", "The plan sets no minimum thickness."))
    by_zone: dict[str, list[int]] = {key: [] for key in zones}
    general: list[int] = []
    for index, reading in enumerate(readings):
        named = reading.text("zone")
        if _plain(named) in zones:
            by_zone[_plain(named)].append(index)
        elif zones and (named or "min" not in criteria):
            findings.append(_unknown_zone(index, named, [z.text("zone") for z in zones.values()]))
        else:
            general.append(index)
    if general and "min" in criteria:
        findings.append(_judged(criteria, corrected, general, None, ""))
    for key, zone in zones.items():
        findings.append(_zone_finding(criteria, corrected, by_zone[key], zone))
    return findings, []


def _plain(zone: str) -> str:
    return " ".join(zone.casefold().split())


def _unknown_zone(index: int, zone: str, known: Sequence[str]) -> Finding:
    said = f"zone {zone!r} is not in the plan" if zone else "names no zone"
    return cannot_be_judged(
        f"{KEY}.zone", f"Reading {index + 1}: {said}; zones of the plan: {', '.join(known)}."
    )


def _zone_finding(
    criteria: Criteria, corrected: Corrected, indexes: Sequence[int], zone: Values
) -> Finding:
    name = zone.text("zone")
    if not indexes:
        return Finding(
            rule=f"{KEY}.zone",
            outcome=Outcome.INCOMPLETE,
            observed="0",
            limit="at least 1",
            statement=f"Zone {name} has no reading.",
            source=criteria.source("zones"),
        )
    return _judged(criteria, corrected, indexes, zone.quantity("min"), name)


def _judged(
    criteria: Criteria,
    corrected: Corrected,
    indexes: Sequence[int],
    minimum: Quantity | None,
    zone: str,
) -> Finding:
    limit = criteria.limit(
        "zones" if zone else "min",
        f"{KEY}.zone_min" if zone else f"{KEY}.min",
        f"Thickness in zone {zone}" if zone else "Thickness",
        Bound.AT_LEAST,
        value=minimum,
    )
    if limit is None:
        return cannot_be_judged(f"{KEY}.zone_min", f"Zone {zone} has no minimum in the plan.")
    starts = [corrected.ends[i - 1] if i else 0 for i in indexes]
    positions = [
        p for i, s in zip(indexes, starts, strict=True) for p in range(s, corrected.ends[i])
    ]
    values = [corrected.values[p] for p in positions]
    return judge_each(limit, values, corrected.unit, lambda i: corrected.name(positions[i]))
