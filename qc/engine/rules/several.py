"""One finding for many readings: the worst of them, and which of them fail."""

from collections.abc import Sequence
from dataclasses import replace

from qc.engine.quantities import Magnitude, Quantity
from qc.engine.rules.limit import Limit
from qc.engine.rules.verdict import Finding, Outcome

Observed = tuple[int, Quantity | Magnitude]
"""The number of a reading, from 1, and what it shows."""

_NAMED_AT_MOST = 8


def judge_several(limit: Limit, observed: Sequence[Observed]) -> Finding | None:
    """The finding on the worst of `observed`, naming all that fail; None without a reading."""
    if not observed:
        return None
    worst_first = sorted(observed, key=lambda pair: pair[1], reverse=not limit.bound.is_lower)
    number, value = worst_first[0]
    found = limit.judge(value, f"reading {number}" if len(observed) > 1 else "")
    if found.outcome is Outcome.CONFORMS:
        return found
    failing = [n for n, v in observed if limit.judge(v).outcome is not Outcome.CONFORMS]
    return replace(found, statement=found.statement + how_many_fail(failing, len(observed)))


def how_many_fail(failing: Sequence[int], count: int) -> str:
    """A sentence to append: " 2 of 5 readings fail: 2, 4."; nothing for a single reading."""
    if count == 1:
        return ""
    verb = "fails" if len(failing) == 1 else "fail"
    return f" {len(failing)} of {count} readings {verb}: {listed(failing)}."


def listed(numbers: Sequence[int]) -> str:
    """Numbers of readings in words, the first few of a long list."""
    named = ", ".join(str(number) for number in numbers[:_NAMED_AT_MOST])
    more = len(numbers) - _NAMED_AT_MOST
    return f"{named} and {more} more" if more > 0 else named
