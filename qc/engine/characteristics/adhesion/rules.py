"""Judges pull-off tests: strength, nature of fracture, and whether a test says anything at all."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.adhesion.pull import Pull, pull_of
from qc.engine.fields import InvalidValue, Values
from qc.engine.formulas.statistics import in_one_unit, mean
from qc.engine.quantities import Magnitude, Quantity
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Limit,
    Outcome,
    cannot_be_judged,
    judge_each,
    judge_places,
    listed,
)
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.adhesion")


@dataclass(frozen=True, kw_only=True)
class _Sorted:
    """Tests that count, with those among them whose true strength is higher; tests that say
    nothing, by the failure of the glue and by an early end."""

    counted: list[Pull]
    glue_held_less: list[Pull]
    ended_early: list[Pull]
    at_least: list[Pull]


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue for a mean of tests that are only pulled to the limit."""
    if criteria.text("protocol") == "2" and criteria.text("statistic") == "mean":
        said = "tests of protocol 2 are only pulled to the limit; they have no mean"
        raise InvalidValue(f"{path}.statistic", said)


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """The verdict on all tests together, whatever their order."""
    limit = criteria.limit("min", "adhesion.min", "Pull-off strength", Bound.AT_LEAST, places=2)
    pulls = [pull_of(criteria, reading, number) for number, reading in enumerate(readings, 1)]
    tests = _sorted(criteria, pulls, limit)
    counted = tests.counted
    return Assessment(
        findings=(
            criteria.enough("readings_min", "adhesion.readings", len(counted), "valid test"),
            *_faulty(pulls),
            *_without_limit(criteria, limit),
            *_strength(criteria, limit, tests),
            *_adhesive_shares(criteria, counted),
        ),
        computed=_computed(pulls, counted, limit),
        flags=(
            *_invalid_flags(tests),
            *_at_least_flags(criteria, tests),
            *_fracture_flags(counted),
        ),
    )


def _sorted(criteria: Criteria, pulls: Sequence[Pull], limit: Limit | None) -> _Sorted:
    """A glue failure, or a load let off, below the limit says nothing; above it, enough."""
    sound = [pull for pull in pulls if not pull.problem]
    open_ = [pull for pull in sound if not pull.ended or pull.is_glue_failure(criteria)]
    void = [pull for pull in open_ if not pull.meets(limit)]
    return _Sorted(
        counted=[pull for pull in sound if pull not in void],
        glue_held_less=[pull for pull in void if pull.ended],
        ended_early=[pull for pull in void if not pull.ended],
        at_least=[pull for pull in open_ if pull not in void],
    )


def _faulty(pulls: Sequence[Pull]) -> list[Finding]:
    if not any(pull.problem for pull in pulls):
        return []
    return [
        judge_places(
            "adhesion.data",
            [
                (Outcome.CANNOT_BE_JUDGED if pull.problem else Outcome.CONFORMS, pull.problem)
                for pull in pulls
            ],
            observed="",
            limit="",
            source="",
            names=[pull.name for pull in pulls],
        )
    ]


def _without_limit(criteria: Criteria, limit: Limit | None) -> list[Finding]:
    if limit is not None or "adhesive_share_max" in criteria:
        return []
    return [cannot_be_judged("adhesion.min", "The plan sets no pull-off strength to reach.")]


def _strength(criteria: Criteria, limit: Limit | None, tests: _Sorted) -> list[Finding]:
    if not tests.counted:
        return [_nothing_counts()] if tests.glue_held_less or tests.ended_early else []
    if limit is None:
        return []
    values, unit = _strengths(tests.counted, limit)
    if criteria.text("statistic", "each") == "mean":
        return [_mean_strength(limit, Quantity(mean(values), unit), tests)]
    return [judge_each(limit, values, unit, lambda i: tests.counted[i].name, "tests")]


def _nothing_counts() -> Finding:
    return cannot_be_judged(
        "adhesion.validity",
        "No test says anything of the coating: each ended below the limit with the glue failing "
        "or the load let off.",
        _TABLES["fracture"]["validity_source"],
    )


def _mean_strength(limit: Limit, average: Quantity, tests: _Sorted) -> Finding:
    """The mean; where it misses and some strengths are higher than shown, it may yet be met."""
    found = limit.judge(average, f"mean of {len(tests.counted)}")
    if found.outcome is Outcome.CONFORMS or not tests.at_least:
        return found
    names = listed([pull.name for pull in tests.at_least])
    return replace(
        found,
        outcome=Outcome.CANNOT_BE_JUDGED,
        statement=f"{found.statement} The strength of {names} is higher than shown: repeat it.",
    )


def _adhesive_shares(criteria: Criteria, counted: Sequence[Pull]) -> list[Finding]:
    """The face that came off between two layers, at most what the plan accepts."""
    rule = "adhesion.adhesive_share"
    limit = criteria.limit("adhesive_share_max", rule, "Adhesive fracture", Bound.AT_MOST, places=0)
    broken = [pull for pull in counted if pull.ended]
    if limit is None or not broken:
        return []
    silent = [pull.name for pull in broken if not pull.shares]
    if silent:
        said = f"The nature of fracture of {listed(silent)} is not described."
        return [cannot_be_judged(rule, said, limit.source)]
    shares: list[Magnitude] = [pull.shares.get("adhesive", Fraction(0)) for pull in broken]
    return [judge_each(limit, shares, "%", lambda i: broken[i].name, "tests")]


def _strengths(pulls: Sequence[Pull], limit: Limit | None) -> tuple[list[Magnitude], str]:
    """Strengths and their unit: that of the limit."""
    unit = limit.value.unit if limit and isinstance(limit.value, Quantity) else "MPa"
    return in_one_unit([pull.stress for pull in pulls if pull.stress], unit), unit


def _computed(
    pulls: Sequence[Pull], counted: Sequence[Pull], limit: Limit | None
) -> dict[str, Any]:
    values, unit = _strengths(counted, limit)
    return {
        "stress": [str(pull.stress) if pull.stress else None for pull in pulls],
        "valid": len(counted),
        "lowest": str(Quantity(min(values), unit)) if values else None,
        "mean": str(Quantity(mean(values), unit)) if values else None,
    }


def _invalid_flags(tests: _Sorted) -> list[str]:
    glue = "the glue gave way below the limit; it says nothing of the coating and does not count"
    early = "the load was let off below the limit; it does not count"
    return [
        *(f"adhesion.invalid: {pull.name}: {glue}" for pull in tests.glue_held_less),
        *(f"adhesion.invalid: {pull.name}: {early}" for pull in tests.ended_early),
    ]


def _at_least_flags(criteria: Criteria, tests: _Sorted) -> list[str]:
    """Strengths that are higher than shown; with protocol 2 a load let off is how it is done."""
    default = _TABLES["protocol"]
    to_limit = criteria.text("protocol", default["default"]) == "2"
    stopped = f"not pulled to fracture ({default['source']})"
    return [
        f"adhesion.at_least: {pull.name}: {'the glue gave way first' if pull.ended else stopped}; "
        f"the strength of the coating is higher than shown"
        for pull in tests.at_least
        if pull.ended or not to_limit
    ]


def _fracture_flags(counted: Sequence[Pull]) -> list[str]:
    silent = [pull.name for pull in counted if pull.ended and not pull.shares]
    if not silent:
        return []
    return [f"adhesion.fracture: the nature of fracture of {listed(silent)} is not described"]
