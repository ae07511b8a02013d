"""How a value is judged: limits, findings and verdicts."""

from qc.engine.rules.limit import Bound, Decision, Limit
from qc.engine.rules.series import judge_each
from qc.engine.rules.several import how_many_fail, judge_several, listed
from qc.engine.rules.verdict import (
    Assessment,
    Finding,
    Outcome,
    Verdict,
    cannot_be_judged,
    enough_readings,
    worst,
)

__all__ = [
    "Assessment",
    "Bound",
    "Decision",
    "Finding",
    "Limit",
    "Outcome",
    "Verdict",
    "cannot_be_judged",
    "enough_readings",
    "how_many_fail",
    "judge_several",
    "listed",
    "judge_each",
    "worst",
]
