"""Judges what a comparator showed against the grade or the segments of the plan."""

from collections.abc import Sequence
from decimal import Decimal

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.profile import comparator
from qc.engine.characteristics.profile.locations import Location
from qc.engine.formulas.statistics import mean
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Bound,
    Finding,
    Outcome,
    cannot_be_judged,
    judge_each,
    listed,
)

_SEGMENTS = (("segment_min", Bound.AT_LEAST), ("segment_max", Bound.AT_MOST))


def asks_for_grade(criteria: Criteria) -> bool:
    """True where the plan sets a grade or a segment."""
    return bool(criteria.given & {"grade", "segment_min", "segment_max"})


def segment_at(criteria: Criteria, place: Location) -> int | None:
    """The segment seen at a location, or the one its figures reach; None where neither is known."""
    if place.problem:
        return None
    if place.segments:
        return place.segments[0]
    figure = _figure(place)
    kind = criteria.text("comparator")
    return comparator.segment_of(figure, kind) if figure and kind else None


def grade_findings(criteria: Criteria, locations: Sequence[Location]) -> list[Finding]:
    """Findings on grade and segments; none where the plan asks for neither."""
    if not asks_for_grade(criteria):
        return []
    seen = [(place.name, segment_at(criteria, place)) for place in locations if not place.problem]
    missing = [name for name, segment in seen if segment is None]
    known = [(name, segment) for name, segment in seen if segment is not None]
    findings = []
    if missing:
        findings.append(
            cannot_be_judged(
                "profile.grade", f"{listed(missing)}: no grade by comparator is given."
            )
        )
    if known and "grade" in criteria:
        findings.append(_grade_finding(criteria, known))
    if known:
        findings += _segment_findings(criteria, known)
    return findings


def _grade_finding(criteria: Criteria, seen: Sequence[tuple[str, int]]) -> Finding:
    asked = criteria.text("grade")
    grades = {name: comparator.grade_of_segment(segment) for name, segment in seen}
    failing = [name for name, grade in grades.items() if grade != asked]
    shown = listed([f"{name} {grade.replace('_', ' ')}" for name, grade in grades.items()])
    said = f"{listed(failing)}: not {asked}." if failing else f"{asked} everywhere."
    return Finding(
        rule="profile.grade",
        outcome=Outcome.DOES_NOT_CONFORM if failing else Outcome.CONFORMS,
        observed=shown,
        limit=asked,
        statement=f"Grade by comparator: {said}",
        source=f"{criteria.source('grade')}; {comparator.SOURCE}",
    )


def _segment_findings(criteria: Criteria, seen: Sequence[tuple[str, int]]) -> list[Finding]:
    names = [name for name, _ in seen]
    segments = [Decimal(segment) for _, segment in seen]
    limits = (
        criteria.limit(
            name,
            f"profile.{name}",
            "Comparator segment",
            bound,
            places=0,
            value=Decimal(criteria.integer(name)),
        )
        for name, bound in _SEGMENTS
        if name in criteria
    )
    return [
        judge_each(limit, segments, "", names.__getitem__, "locations") for limit in limits if limit
    ]


def grade_flags(criteria: Criteria, locations: Sequence[Location]) -> list[str]:
    """Where a grade was derived from figures, and where a figure tells no grade."""
    kind = criteria.text("comparator")
    if not asks_for_grade(criteria) or not kind:
        return []
    figures = [(place.name, _figure(place)) for place in locations if not place.segments]
    known = [(name, figure) for name, figure in figures if figure is not None]
    if not known:
        return []
    flags = [
        f"profile.grade: {listed([name for name, _ in known])}: grade derived from figures by the "
        f"nominal values of the {kind} comparator"
    ]
    edge = [name for name, figure in known if comparator.at_the_edge(figure, kind)]
    if edge:
        flags.append(
            f"profile.grade: {listed(edge)}: exactly the figure of segment 4; taken as coarser "
            f"than coarse"
        )
    return flags


def _figure(place: Location) -> Quantity | None:
    if not place.values:
        return None
    unit = place.values[0].unit
    return Quantity(mean([value.magnitude_in(unit) for value in place.values]), unit)
