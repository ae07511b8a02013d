"""Measuring instruments: what each kind measures, whether a check passes, what can be trusted.

`kinds` knows what an instrument measures, `verification` judges a check against a reference, and
`trust` tells from checks and calibrations which readings are suspect.
"""

from qc.engine.metrology.kinds import Figure, Part, dimensions_of, figure_of, has_figures
from qc.engine.metrology.trust import CalibrationFact, CheckFact, Span, spans_of
from qc.engine.metrology.verification import Range, passes, range_of

__all__ = [
    "CalibrationFact",
    "CheckFact",
    "Figure",
    "Part",
    "Range",
    "Span",
    "dimensions_of",
    "figure_of",
    "has_figures",
    "passes",
    "range_of",
    "spans_of",
]
