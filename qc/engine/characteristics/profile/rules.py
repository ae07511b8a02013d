"""Judges a surface profile, location by location."""

from collections.abc import Sequence
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.profile.locations import Location, gathered
from qc.engine.fields import Values
from qc.engine.formulas.statistics import mean
from qc.engine.quantities import Magnitude, Quantity
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Outcome,
    cannot_be_judged,
    enough_readings,
    judge_each,
)


def assess_profile(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """The verdict on all locations, whatever their order."""
    locations, of_reading = gathered(criteria, readings)
    unit = readings[0].quantities("values")[0].unit
    statistic = criteria.text("statistic", "mean")
    values = {id(place): place.value(statistic, unit) for place in locations}
    findings = [
        _enough_locations(criteria, locations),
        _enough_at_each(criteria, locations),
        *_data_findings(locations),
        *_limit_findings(criteria, locations, values, unit),
    ]
    flags = [flag for place in locations for flag in place.flags]
    return Assessment(
        findings=tuple(findings),
        computed=_computed(of_reading, values, unit),
        flags=(*flags, *_mapping_flags(findings)),
    )


def _enough_locations(criteria: Criteria, locations: Sequence[Location]) -> Finding:
    return enough_readings(
        "profile.locations",
        len(locations),
        criteria.integer("locations_min", 1),
        noun="locations",
        source=criteria.source("locations_min"),
    )


def _enough_at_each(criteria: Criteria, locations: Sequence[Location]) -> Finding:
    fewest = min(locations, key=lambda place: len(place.values))
    return enough_readings(
        "profile.readings",
        len(fewest.values),
        criteria.integer("readings_min", 1),
        noun=f"readings at {fewest.name}, which has the fewest,",
        source=criteria.source("readings_min"),
    )


def _data_findings(locations: Sequence[Location]) -> list[Finding]:
    found = [
        cannot_be_judged("profile.data", f"{place.name}: {place.problem}.")
        for place in locations
        if place.problem
    ]
    for place in locations:
        if place.alone:
            found.append(_second_tape(place))
    return found


def _second_tape(place: Location) -> Finding:
    shown = ", ".join(str(tape.profile) for tape in place.alone)
    return Finding(
        rule="profile.overlap",
        outcome=Outcome.INCOMPLETE,
        observed=shown,
        statement=(
            f"{place.name}: {shown} lies where coarse and x coarse tape overlap; take the other "
            f"grade at the same spot."
        ),
    )


def _limit_findings(
    criteria: Criteria,
    locations: Sequence[Location],
    values: dict[int, Magnitude | None],
    unit: str,
) -> list[Finding]:
    limits = (
        criteria.limit("min", "profile.min", "Profile", Bound.AT_LEAST),
        criteria.limit("max", "profile.max", "Profile", Bound.AT_MOST),
    )
    if not any(limits):
        return [cannot_be_judged("profile.limit", "The plan sets no limit for the profile.")]
    judged = [(place.name, values[id(place)]) for place in locations]
    names = [name for name, value in judged if value is not None]
    magnitudes = [value for _, value in judged if value is not None]
    if not magnitudes:
        return []
    return [
        judge_each(limit, magnitudes, unit, names.__getitem__, "locations")
        for limit in limits
        if limit
    ]


def _mapping_flags(findings: Sequence[Finding]) -> list[str]:
    failed = any(found.outcome is Outcome.DOES_NOT_CONFORM for found in findings)
    if not failed:
        return []
    return [
        "profile.mapping: map each failing location: go on in four directions at regular intervals "
        "until two locations in a row conform or the surface ends (SSPC-PA 17, read second-hand)"
    ]


def _computed(
    of_reading: Sequence[Location], values: dict[int, Magnitude | None], unit: str
) -> dict[str, Any]:
    def text(value: Magnitude | None) -> str | None:
        return None if value is None else str(Quantity(value, unit))

    known = [value for value in values.values() if value is not None]
    return {
        "location_values": [text(values[id(place)]) for place in of_reading],
        "mean": text(mean(known) if known else None),
    }
