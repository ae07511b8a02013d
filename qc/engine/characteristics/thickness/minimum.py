"""Every value at least the minimum, of its zone where the plan has zones: fillers and laminates."""

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.thickness.limits import thickness_limit
from qc.engine.characteristics.thickness.measured import Measured, Taken
from qc.engine.fields import Values
from qc.engine.rules import (
    Bound,
    Finding,
    Limit,
    Outcome,
    cannot_be_judged,
    enough_readings,
    judge_column,
    judge_each,
    listed,
)

KEY = "thickness.minimum"


def zone_key(zone: str) -> str:
    """The name of a zone without case and idle spaces, by which plan and reading meet."""
    return " ".join(zone.casefold().split())


def judge_minimum(criteria: Criteria, taken: Taken, every: Measured) -> list[Finding]:
    """The findings, whatever the order of the readings."""
    zones = {zone_key(zone.text("zone")): zone for zone in criteria.groups("zones")}
    findings = [criteria.enough("readings_min", f"{KEY}.readings", len(every.column))]
    if not zones and "min" not in criteria and "mean_min" not in criteria:
        findings.append(cannot_be_judged(f"{KEY}.min", "The plan sets no minimum thickness."))
    general, by_zone, unknown = _by_zone(criteria, taken, zones)
    if unknown:
        findings.append(_unknown_zones(taken, unknown, zones))
    findings += _general_findings(criteria, every, general)
    for key, zone in zones.items():
        findings += _zone_findings(criteria, every, by_zone[key], zone)
    return [*findings, *_station_means(criteria, every)]


def _by_zone(
    criteria: Criteria, taken: Taken, zones: dict[str, Values]
) -> tuple[list[int], dict[str, list[int]], list[int]]:
    """Where the readings stand that the general minimum judges, each zone judges, and none can."""
    general = [] if zones else list(range(len(taken)))
    unknown: list[int] = []
    by_zone: dict[str, list[int]] = {key: [] for key in zones}
    for index, reading in enumerate(taken.readings if zones else ()):
        key = zone_key(reading.text("zone"))
        if key in zones:
            by_zone[key].append(index)
        elif zones and (key or "min" not in criteria):
            unknown.append(index)
        else:
            general.append(index)
    return general, by_zone, unknown


def _unknown_zones(taken: Taken, unknown: list[int], zones: dict[str, Values]) -> Finding:
    known = ", ".join(zone.text("zone") for zone in zones.values())
    named = [(taken.numbers[i], taken.readings[i].text("zone") or "none") for i in unknown]
    which = listed([f"{number} ({zone})" for number, zone in named])
    return cannot_be_judged(
        f"{KEY}.zone",
        f"The zone of reading {which} is not in the plan; its zones are: {known}.",
    )


def _general_findings(criteria: Criteria, every: Measured, indexes: list[int]) -> list[Finding]:
    limit = thickness_limit(criteria, "min", f"{KEY}.min", "Thickness", Bound.AT_LEAST)
    if limit is None or not indexes:
        return []
    if len(indexes) == len(every.ends):
        return [judge_column(limit, every.column, every.name)]
    return [_judged(limit, every, indexes)]


def _zone_findings(
    criteria: Criteria, every: Measured, indexes: list[int], zone: Values
) -> list[Finding]:
    name, rule = zone.text("zone"), f"{KEY}.zone_min"
    if not indexes:
        return [_no_reading(criteria, name)]
    limit = thickness_limit(
        criteria,
        "zones",
        rule,
        f"Thickness in zone {name}",
        Bound.AT_LEAST,
        value=zone.quantity("min"),
    )
    findings = [_judged(limit, every, indexes)] if limit else []
    return [*findings, *_enough_in_zone(criteria, every, indexes, zone)]


def _no_reading(criteria: Criteria, name: str) -> Finding:
    return Finding(
        rule=f"{KEY}.zone",
        outcome=Outcome.INCOMPLETE,
        observed="0",
        limit="at least 1",
        statement=f"Zone {name} has no reading.",
        source=criteria.source("zones"),
    )


def _enough_in_zone(
    criteria: Criteria, every: Measured, indexes: list[int], zone: Values
) -> list[Finding]:
    if "readings_min" not in zone:
        return []
    asked, count = zone.integer("readings_min"), len(every.positions(indexes))
    return [
        enough_readings(
            f"{KEY}.zone_readings",
            count,
            asked,
            "value",
            criteria.source("zones"),
            which=f"in zone {zone.text('zone')}",
        )
    ]


def _judged(limit: Limit, every: Measured, indexes: list[int]) -> Finding:
    positions = every.positions(indexes)
    return judge_column(limit, every.part(positions), lambda i: every.name(positions[i]))


def _station_means(criteria: Criteria, every: Measured) -> list[Finding]:
    """The mean of each reading, which is a station, at least the plan's `mean_min`."""
    limit = thickness_limit(
        criteria,
        "mean_min",
        f"{KEY}.mean_min",
        "Mean thickness of a station",
        Bound.AT_LEAST,
        statistic="mean",
    )
    if limit is None:
        return []
    return [judge_column(limit, every.means, lambda i: f"reading {every.numbers[i]}", "stations")]


def flushness_findings(criteria: Criteria, taken: Taken) -> list[Finding]:
    """Steps between the repair and the surface around it, at most what the plan allows."""
    limit = thickness_limit(
        criteria,
        "flushness_max",
        "thickness.flushness",
        "Step to the surface around",
        Bound.AT_MOST,
    )
    if limit is None:
        return []
    steps = [(n, step) for n, reading in taken for step in reading.quantities("flushness")]
    if not steps:
        return [_no_flushness(limit)]
    unit = steps[0][1].unit
    values = [step.magnitude_in(unit) for _, step in steps]
    return [judge_each(limit, values, unit, lambda i: f"reading {steps[i][0]}", "steps")]


def _no_flushness(limit: Limit) -> Finding:
    return Finding(
        rule=limit.rule,
        outcome=Outcome.INCOMPLETE,
        observed="0",
        limit=limit.text,
        statement="No step to the surface around has been measured.",
        source=limit.source,
    )
