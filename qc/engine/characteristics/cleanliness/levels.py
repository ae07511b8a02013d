"""The level of cleanliness that an edition of a grade's standard adds to the grade."""

from collections.abc import Sequence

from qc.engine.characteristic import Criteria
from qc.engine.fields import InvalidValue, Values
from qc.engine.rules import Finding, Judged, Outcome, judge_places
from qc.engine.standards.tables import load_tables

_LEVELS = load_tables("qc.engine.characteristics.cleanliness")["levels"]
GRADE: str = _LEVELS["grade"]
MOST = int(_LEVELS["most"])


def check_level(criteria: Criteria, path: str) -> None:
    """InvalidValue for a level of a grade that has none."""
    if "level" in criteria and criteria.text("required") != GRADE:
        raise InvalidValue(f"{path}.level", f"belongs to the required grade {GRADE} only")


def level_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """One finding where the plan names a level and a place has reached the grade that has it.

    Only the same level is known to meet: another cannot be judged, for no order was read.
    """
    graded = [
        (number, given)
        for number, given in enumerate(readings, start=1)
        if given.text("achieved") == GRADE
    ]
    if "level" not in criteria or not graded:
        return []
    asked = criteria.integer("level")
    seen = [str(given.get("level") or "not stated") for _, given in graded]
    return [
        judge_places(
            "cleanliness.level",
            [_judged(given, asked) for _, given in graded],
            observed=", ".join(dict.fromkeys(seen)),
            limit=f"level {asked}",
            source=f"{criteria.source('level')}; {_LEVELS['source']}",
            names=[f"reading {number}" for number, _ in graded],
        )
    ]


def _judged(given: Values, asked: int) -> Judged:
    if "level" not in given:
        return Outcome.INCOMPLETE, f"the level of {GRADE} is not stated"
    found = given.integer("level")
    if found == asked:
        return Outcome.CONFORMS, f"level {found} of {GRADE} is the level asked for"
    return (
        Outcome.CANNOT_BE_JUDGED,
        f"level {found} of {GRADE} is not the level {asked} asked for, and whether it is cleaner "
        "is not known",
    )
