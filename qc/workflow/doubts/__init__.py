"""Why what was recorded can't be relied on: one module for each kind of doubt.

A source of doubts takes the progress of several repairs and asks the same number of queries
however many they are.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping

from qc.engine.plan import Doubt
from qc.records.models import Repair
from qc.records.progress import StepProgress

Progress = Mapping[Repair, tuple[StepProgress, ...]]
Doubts = Iterable[tuple[int, str, Doubt]]
"""Each with the id of its repair and the key of its step."""

_SOURCES: tuple[Callable[[Progress], Doubts], ...] = ()


def doubts_of(progress: Progress) -> dict[tuple[int, str], list[Doubt]]:
    """All doubts by repair id and step key."""
    found: dict[tuple[int, str], list[Doubt]] = defaultdict(list)
    for source in _SOURCES:
        for repair_id, key, doubt in source(progress):
            found[repair_id, key].append(doubt)
    return found
