"""ISO 15184: hardness by pencils, ranked from the softest, 9B, to the hardest, 9H."""

from collections.abc import Sequence

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.hardness.criteria import PENCILS
from qc.engine.rules import Finding, Outcome, cannot_be_judged, ended, listed
from qc.engine.standards.tables import load_tables

_TABLE = load_tables("qc.engine.characteristics.hardness")["pencil"]


def rank(grade: str) -> int:
    """0 for 9B, 8 for B, 9 for HB, 10 for F, 11 for H, 19 for 9H."""
    return PENCILS.index(grade)


def lowest_grade(grades: Sequence[str]) -> str | None:
    """The softest of `grades`, or None."""
    return min(grades, key=rank, default=None)


def judge_pencil(criteria: Criteria, grades: Sequence[str]) -> Finding | None:
    """Every grade at least the plan's; None where nothing was read."""
    asked, lowest = criteria.text("grade_min"), lowest_grade(grades)
    if not asked:
        return cannot_be_judged("hardness.limit", "The plan sets no grade_min for pencils.")
    if lowest is None:
        return None
    failing = [grade for grade in grades if rank(grade) < rank(asked)]
    counted = f"is missed by {listed(failing)}" if failing else "is met"
    return Finding(
        rule="hardness.grade_min",
        outcome=Outcome.DOES_NOT_CONFORM if failing else Outcome.CONFORMS,
        observed=lowest,
        limit=f"at least {asked}",
        statement=ended(f"Pencil hardness, lowest {lowest}: at least {asked} {counted}"),
        source=criteria.source("grade_min"),
    )


def pencil_flags(grades: Sequence[str]) -> list[str]:
    """Repeats that lie too far apart to trust."""
    ranks = [rank(grade) for grade in grades]
    if not ranks or max(ranks) - min(ranks) <= int(_TABLE["agree_within"]):
        return []
    return [f"hardness.repeats: pencil grades differ by more than one ({_TABLE['repeat_source']})"]
