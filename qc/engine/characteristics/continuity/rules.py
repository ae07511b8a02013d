"""Judges holiday tests: holidays found, at the voltage of the plan, over the area of the plan."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.continuity.voltage import (
    agreed_test,
    ceiling_findings,
    check_voltage,
    computed_voltages,
    names_of,
    reach_findings,
    thickness_of,
    voltage_findings,
)
from qc.engine.fields import InvalidValue, Values
from qc.engine.formulas.statistics import in_one_unit, total
from qc.engine.quantities import Quantity
from qc.engine.rules import Assessment, Bound, Finding, Outcome, cannot_be_judged, listed
from qc.engine.standards.tables import load_tables

_ACCEPTED = load_tables("qc.engine.characteristics.continuity")["accepted"]


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue where the criteria of a holiday test make no sense."""
    for name in ("standard", "edition"):
        if not criteria.text(name):
            raise InvalidValue(f"{path}.{name}", "is required")
    check_voltage(criteria, path)


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """The verdict on all readings together, whatever their order."""
    return Assessment(
        findings=(
            _holidays(criteria, readings),
            *voltage_findings(criteria, readings),
            *reach_findings(criteria, readings),
            *(ceiling_findings(criteria, readings) if _is_high(criteria) else ()),
            *_area(criteria, readings),
        ),
        computed=_computed(criteria, readings),
        flags=_flags(criteria, readings),
    )


def _is_high(criteria: Criteria) -> bool:
    return criteria.text("method") == "high_voltage"


def _holidays(criteria: Criteria, readings: Sequence[Values]) -> Finding:
    """All holidays found, at most as many as the plan accepts; none unless it says otherwise."""
    counts = [reading.integer("holidays") for reading in readings]
    found, stated = sum(counts), "holidays_max" in criteria
    accepted = criteria.integer("holidays_max", int(_ACCEPTED["holidays"]))
    meets = found <= accepted
    where = [
        f"{count} at {name}"
        for name, count in zip(names_of(readings), counts, strict=True)
        if count
    ]
    said = f"Holidays found: {found}{f' ({listed(where)})' if where else ''}"
    return Finding(
        rule="continuity.holidays",
        outcome=Outcome.CONFORMS if meets else Outcome.DOES_NOT_CONFORM,
        observed=str(found),
        limit=f"at most {accepted}",
        statement=f"{said}, at most {accepted} accepted.",
        source=criteria.source("holidays_max") if stated else _ACCEPTED["source"],
    )


def _area(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """The areas tested add up to the plan's; where they do not yet, the test is incomplete."""
    limit = criteria.limit("area", "continuity.area", "Area tested", Bound.AT_LEAST, places=2)
    if limit is None:
        return []
    silent = [number for number, reading in enumerate(readings, 1) if "area" not in reading]
    if silent:
        said = f"Reading {listed(silent)}: the area tested is not stated."
        return [cannot_be_judged("continuity.area", said, limit.source)]
    finding = limit.judge(_area_tested(criteria, readings))
    if finding.outcome is Outcome.CONFORMS:
        return [finding]
    return [replace(finding, outcome=Outcome.INCOMPLETE)]


def _area_tested(criteria: Criteria, readings: Sequence[Values]) -> Quantity:
    areas = [area for reading in readings if (area := reading.quantity("area"))]
    asked = criteria.quantity("area")
    unit = (asked or areas[0]).unit if asked or areas else "m2"
    return Quantity(total(in_one_unit(areas, unit)) if areas else Decimal(0), unit)


def _computed(criteria: Criteria, readings: Sequence[Values]) -> dict[str, Any]:
    stated = any("area" in reading for reading in readings)
    return {
        "holidays": sum(reading.integer("holidays") for reading in readings),
        "area_tested": str(_area_tested(criteria, readings)) if stated else None,
        **(computed_voltages(criteria, readings) if _is_high(criteria) else {}),
    }


def _flags(criteria: Criteria, readings: Sequence[Values]) -> tuple[str, ...]:
    flags = [f"continuity.standard: a holiday is what {agreed_test(criteria)}, calls one"]
    if _is_high(criteria) and any(thickness_of(criteria, reading) for reading in readings):
        flags.append(
            "continuity.formulas: voltages by formula are for information; standards and their "
            "editions differ, and the test voltage is the specification's"
        )
    unplaced = [
        number
        for number, reading in enumerate(readings, 1)
        if reading.integer("holidays") and "places" not in reading
    ]
    if unplaced:
        flags.append(f"continuity.places: reading {listed(unplaced)}: not stated where they are")
    return tuple(flags)
