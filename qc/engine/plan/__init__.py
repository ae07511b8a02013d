"""The inspection and test plan: parties, intervention points, and what stands open before release.

`parties` names who shares the record, `points` on what terms, `working_hours` counts notice,
`facts` holds what is known of a step, `gate` what stands open,
`windows` the time allowed between steps.
"""

from qc.engine.plan.facts import (
    BatchUse,
    Blocker,
    Doubt,
    InstrumentUse,
    OpenReport,
    Point,
    StepFacts,
)
from qc.engine.plan.gate import holds_before, open_items
from qc.engine.plan.parties import Intervention, Party
from qc.engine.plan.points import Hours, Terms, terms_of
from qc.engine.plan.windows import Fault, Window, time_between
from qc.engine.plan.working_hours import WorkingHours

__all__ = [
    "BatchUse",
    "Blocker",
    "Doubt",
    "Fault",
    "Hours",
    "InstrumentUse",
    "Intervention",
    "OpenReport",
    "Party",
    "Point",
    "StepFacts",
    "Terms",
    "Window",
    "WorkingHours",
    "holds_before",
    "open_items",
    "terms_of",
    "time_between",
]
