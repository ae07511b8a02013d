"""The life of a nonconformance report: states, deeds, dispositions, parties, guards, in one table.

It follows ISO 9001:2015, 8.7: what does not conform is contained, a way to deal with it is proposed
and approved, conformity is verified again after the work, and what is used as it is needs a
concession of the client.
"""

from qc.engine.nonconformance.states import (
    Concession,
    Disposition,
    NamedReadings,
    Origin,
    ReportDeed,
    ReportFacts,
    ReportState,
)
from qc.engine.nonconformance.table import (
    REPORT_TRANSITIONS,
    ReportTransition,
    decide_on_report,
    deeds_open_to,
    due_next,
    is_undone_by_failure,
    ways_on,
)

__all__ = [
    "REPORT_TRANSITIONS",
    "Concession",
    "Disposition",
    "NamedReadings",
    "Origin",
    "ReportDeed",
    "ReportFacts",
    "ReportState",
    "ReportTransition",
    "decide_on_report",
    "deeds_open_to",
    "due_next",
    "is_undone_by_failure",
    "ways_on",
]
