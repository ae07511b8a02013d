"""Judges a surface profile, location by location."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.profile.comparator import grade_of_segment
from qc.engine.characteristics.profile.counts import count_findings
from qc.engine.characteristics.profile.grades import (
    asks_for_grade,
    grade_findings,
    grade_flags,
    segment_at,
)
from qc.engine.characteristics.profile.locations import Location, gathered
from qc.engine.characteristics.profile.mapping import mapped, mapping_task, not_mapped
from qc.engine.characteristics.profile.notes import notes
from qc.engine.fields import Values
from qc.engine.formulas.statistics import mean
from qc.engine.quantities import Magnitude, Quantity
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Limit,
    Outcome,
    cannot_be_judged,
    counted,
    judge_each,
    listed,
)

Numbered = Sequence[tuple[int, Values]]


@dataclass(frozen=True)
class _Profiles:
    """The distinct locations, and the location of each reading by its number."""

    locations: list[Location]
    of_reading: dict[int, Location]
    statistic: str
    unit: str

    def value(self, place: Location) -> Quantity | None:
        """What a location comes to; None where it cannot be judged."""
        value = place.value(self.statistic, self.unit)
        return None if value is None else Quantity(value, self.unit)

    def known(self) -> list[tuple[str, Magnitude]]:
        """(name, value) of the locations that have one."""
        pairs = ((place.name, self.value(place)) for place in self.locations)
        return [(name, value.magnitude) for name, value in pairs if value is not None]


def assess_profile(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """The verdict on all locations, whatever their order."""
    numbered = list(enumerate(readings, 1))
    own = _profiles(criteria, [item for item in numbered if "maps" not in item[1]])
    around = _profiles(criteria, [item for item in numbered if "maps" in item[1]])
    if not own.locations:
        return Assessment(findings=(_no_location(),))
    limits = _limits(criteria)
    failing = _failing(criteria, limits, own)
    findings = [
        *count_findings(criteria, own.locations, len(failing)),
        *_data_findings([*own.locations, *around.locations]),
        *_limit_findings(criteria, limits, own),
        *grade_findings(criteria, own.locations),
    ]
    flags = notes(criteria, readings, [*own.locations, *around.locations])
    findings += _mapped(limits, readings, around)
    unmapped = not_mapped(failing, readings)
    if unmapped:
        flags.append(mapping_task(unmapped))
    return Assessment(
        findings=tuple(findings),
        computed=_computed(criteria, numbered, own, around),
        flags=(*flags, *grade_flags(criteria, own.locations)),
    )


def _profiles(criteria: Criteria, numbered: Numbered) -> _Profiles:
    locations, of_reading = gathered(criteria, numbered)
    first = next((value for place in locations for value in place.values), None)
    unit = first.unit if first else "um"
    by_number = {number: place for (number, _), place in zip(numbered, of_reading, strict=True)}
    return _Profiles(locations, by_number, criteria.text("statistic", "mean"), unit)


def _no_location() -> Finding:
    return Finding(
        rule="profile.locations",
        outcome=Outcome.INCOMPLETE,
        observed="0",
        limit="at least 1",
        statement="Every reading maps around a location that has no reading of its own.",
    )


def _limits(criteria: Criteria) -> list[Limit]:
    limits = (
        criteria.limit("min", "profile.min", "Profile", Bound.AT_LEAST),
        criteria.limit("max", "profile.max", "Profile", Bound.AT_MOST),
    )
    return [limit for limit in limits if limit]


def _failing(criteria: Criteria, limits: Sequence[Limit], own: _Profiles) -> list[str]:
    """The locations that fail a limit; none where their mean alone is judged."""
    if criteria.text("statistic") == "mean_of_max":
        return []
    return [
        name
        for name, value in own.known()
        if any(not _meets(limit, Quantity(value, own.unit)) for limit in limits)
    ]


def _meets(limit: Limit, value: Quantity) -> bool:
    return limit.judge(value).outcome is Outcome.CONFORMS


def _data_findings(locations: Sequence[Location]) -> list[Finding]:
    found = [
        cannot_be_judged("profile.data", f"{place.name}: {place.problem}.")
        for place in locations
        if place.problem
    ]
    return [*found, *(_second_tape(place) for place in locations if place.alone)]


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


def _limit_findings(criteria: Criteria, limits: Sequence[Limit], own: _Profiles) -> list[Finding]:
    if not limits:
        if asks_for_grade(criteria):
            return []
        return [cannot_be_judged("profile.limit", "The plan sets no limit for the profile.")]
    bare = [place.name for place in own.locations if not place.values and not place.alone]
    findings = []
    if bare:
        said = f"{listed(bare)}: no reading in figures, which min and max need."
        findings.append(cannot_be_judged("profile.data", said))
    known = own.known()
    if not known:
        return findings
    if criteria.text("statistic") == "mean_of_max":
        average = Quantity(mean([value for _, value in known]), own.unit)
        said = f"mean of the highest at {counted(len(known), 'location')}"
        return [*findings, *(limit.judge(average, said) for limit in limits)]
    names, values = [name for name, _ in known], [value for _, value in known]
    judged = (
        judge_each(limit, values, own.unit, names.__getitem__, "locations") for limit in limits
    )
    return [*findings, *judged]


def _mapped(
    limits: Sequence[Limit], readings: Sequence[Values], around: _Profiles
) -> list[Finding]:
    places = around.of_reading.items()
    return mapped(limits, [(readings[n - 1], around.value(place)) for n, place in places])


def _computed(
    criteria: Criteria, numbered: Numbered, own: _Profiles, around: _Profiles
) -> dict[str, Any]:
    values: list[str | None] = []
    grades: list[str | None] = []
    for number, _ in numbered:
        part = own if number in own.of_reading else around
        place = part.of_reading[number]
        value, segment = part.value(place), segment_at(criteria, place)
        values.append(None if value is None else str(value))
        grades.append(None if segment is None else grade_of_segment(segment))
    known = [value for _, value in own.known()]
    return {
        "location_values": values,
        "mean": str(Quantity(mean(known), own.unit)) if known else None,
        "grades": grades if any(grades) else None,
    }
