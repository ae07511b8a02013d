"""Judges the degree of cure of samples, and their glass transition."""

from collections.abc import Sequence
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.degree_of_cure.glass_transition import judge_glass_transition
from qc.engine.fields import Values
from qc.engine.formulas.kinetics import degree_of_cure
from qc.engine.quantities import Quantity
from qc.engine.rules import Assessment, Bound, Finding, cannot_be_judged, enough_readings


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Number of samples, and the degree of cure and glass transition of each."""
    findings = [
        enough_readings(
            "degree_of_cure.readings",
            len(readings),
            criteria.integer("readings_min", 1),
            "sample",
            criteria.source("readings_min"),
        )
    ]
    for i, reading in enumerate(readings, start=1):
        name = reading.text("sample") or f"sample {i}"
        findings += _judge_degree(criteria, reading, name)
        findings += judge_glass_transition(criteria, reading, name)
    degrees = [_degree(criteria, reading) for reading in readings]
    if len(findings) == 1:
        findings.append(cannot_be_judged("degree_of_cure", "The plan sets no limit."))
    return Assessment(
        findings=tuple(findings),
        computed={"degree": [str(d) if isinstance(d, Quantity) else None for d in degrees]},
    )


def _judge_degree(criteria: Criteria, reading: Values, name: str) -> list[Finding]:
    limit = criteria.limit(
        "degree_min", "degree_of_cure.degree", "Degree of cure", Bound.AT_LEAST, places=2
    )
    if limit is None:
        return []
    degree = _degree(criteria, reading)
    if isinstance(degree, str):
        return [cannot_be_judged(limit.rule, f"{name}: {degree}.", limit.source)]
    return [limit.judge(degree, name)]


def _degree(criteria: Criteria, reading: Values) -> Quantity | str:
    """The degree of cure, or why there is none."""
    total = reading.quantity("total_enthalpy") or criteria.quantity("total_enthalpy")
    residual = reading.quantity("residual_enthalpy")
    if total is None or residual is None:
        return "total and residual heat of reaction are both needed"
    if total.magnitude == 0 or residual > total:
        return f"a residual heat of {residual} out of {total} is impossible"
    share = degree_of_cure(
        Fraction(total.magnitude_in("J/g")), Fraction(residual.magnitude_in("J/g"))
    )
    return Quantity(share * 100, "%")
