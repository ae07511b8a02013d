"""What is answered with yes or no: defects that must not be there, things that must be so."""

from collections.abc import Sequence

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.laminate.criteria import CONFIRMED, FREE_OF, TABLES
from qc.engine.fields import Values
from qc.engine.rules import Finding, Judged, Outcome, judge_places

_BY_TAPPING: frozenset[str] = frozenset(TABLES["tap_test"]["shows"])


def answer_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """One finding for each thing asked; a defect seen anywhere rejects, and so does a no."""
    asked = [
        *((name, "free_of", FREE_OF[name]) for name in dict.fromkeys(criteria.texts("free_of"))),
        *(
            (name, "confirmed", CONFIRMED[name])
            for name in dict.fromkeys(criteria.texts("confirmed"))
        ),
    ]
    return [
        _finding(criteria.source(criterion), name, criterion == "free_of", said, readings)
        for name, criterion, said in asked
    ]


def _finding(
    source: str, name: str, is_defect: bool, said: str, readings: Sequence[Values]
) -> Finding:
    answered = [(n, r) for n, r in enumerate(readings, start=1) if r.flag(name) is not None]
    rule, limit = f"laminate.{name}", f"no {said}" if is_defect else said
    if not answered:
        return Finding(
            rule=rule,
            outcome=Outcome.INCOMPLETE,
            limit=limit,
            statement=f"{said[0].upper()}{said[1:]}: not answered yet.",
            source=source,
        )
    judged = [_judged(reading, name, is_defect, said) for _, reading in answered]
    return judge_places(
        rule,
        judged,
        observed=", ".join(dict.fromkeys(_yes_or_no(reading, name) for _, reading in answered)),
        limit=limit,
        source=source,
        names=[reading.text("location") or f"reading {n}" for n, reading in answered],
    )


def _yes_or_no(reading: Values, name: str) -> str:
    return "yes" if reading.flag(name) else "no"


def _judged(reading: Values, name: str, is_defect: bool, said: str) -> Judged:
    remark = f" ({reading.text('remark')})" if "remark" in reading else ""
    if reading.flag(name) is is_defect:
        problem = f"{said}: found{remark}" if is_defect else f"{said}: no{remark}"
        return Outcome.DOES_NOT_CONFORM, problem
    if name in _BY_TAPPING and not reading.flag("tap_tested"):
        return Outcome.INCOMPLETE, f"{said}: not tapped all over, and nothing else tells"
    return Outcome.CONFORMS, f"{said}: none" if is_defect else f"{said}: yes"
