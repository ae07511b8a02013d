"""Why what was recorded can't be relied on: one module for each kind of doubt.

A source of doubts takes the progress of several repairs and asks the same number of queries
however many they are.
"""

from collections import defaultdict
from collections.abc import Callable

from qc.engine.plan import Doubt
from qc.workflow.doubts.batches import recalled_batches
from qc.workflow.doubts.instruments import untrusted_instruments
from qc.workflow.doubts.people import unqualified_people
from qc.workflow.doubts.prerequisites import unsound_prerequisites
from qc.workflow.doubts.ranges import values_out_of_range
from qc.workflow.doubts.source import Doubts, Progress
from qc.workflow.doubts.windows import broken_windows

__all__ = ["Doubts", "Progress", "doubts_of"]

_SOURCES: tuple[Callable[[Progress], Doubts], ...] = (
    untrusted_instruments,
    values_out_of_range,
    recalled_batches,
    unqualified_people,
    broken_windows,
    unsound_prerequisites,
)


def doubts_of(progress: Progress) -> dict[tuple[int, str], list[Doubt]]:
    """All doubts by repair id and step key."""
    found: dict[tuple[int, str], list[Doubt]] = defaultdict(list)
    for source in _SOURCES:
        for repair_id, key, doubt in source(progress):
            if doubt not in found[repair_id, key]:
                found[repair_id, key].append(doubt)
    return found
