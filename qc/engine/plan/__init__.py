"""The inspection and test plan: parties, intervention points, and what stands open before release.

`parties` names who shares the record, `facts` what is known of a step, `gate` what stands open.
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

__all__ = [
    "BatchUse",
    "Blocker",
    "Doubt",
    "InstrumentUse",
    "Intervention",
    "OpenReport",
    "Party",
    "Point",
    "StepFacts",
    "holds_before",
    "open_items",
]
