"""What a source of doubts takes and gives."""

from collections.abc import Iterable, Mapping

from qc.engine.plan import Doubt
from qc.records.models import Repair
from qc.records.progress import StepProgress

Progress = Mapping[Repair, tuple[StepProgress, ...]]
Doubts = Iterable[tuple[int, str, Doubt]]
"""Each with the id of its repair and the key of its step."""
