"""How a value is judged: limits, findings and verdicts."""

from qc.engine.rules.limit import Bound, Decision, Limit
from qc.engine.rules.mapping import MappedPlace, mapping_findings
from qc.engine.rules.places import Judged, judge_places
from qc.engine.rules.sentence import by_reason, counted, ended, listed
from qc.engine.rules.series import judge_column, judge_each
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
    "Judged",
    "Limit",
    "MappedPlace",
    "Outcome",
    "Verdict",
    "by_reason",
    "cannot_be_judged",
    "counted",
    "ended",
    "enough_readings",
    "listed",
    "judge_column",
    "judge_each",
    "judge_places",
    "mapping_findings",
    "worst",
]
