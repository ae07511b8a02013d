"""Judges many values against one limit by the value that decides, in one finding."""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import replace

from qc.engine.quantities import Magnitude, Quantity
from qc.engine.rules.limit import Bound, Limit
from qc.engine.rules.verdict import Finding, Outcome

NAMED = 5
"""How many of the failing values a statement names."""


def judge_each(
    limit: Limit,
    values: Sequence[Magnitude],
    unit: str,
    name: Callable[[int], str],
    noun: str = "values",
) -> Finding:
    """Whether each of `values` (at least one, in `unit`; "" for plain numbers) meets `limit`.

    The lowest decides against a lower limit, the highest against an upper one; where it fails, the
    statement says how many do and names the worst. `name(i)` is what value `i` is called.
    """
    lower = limit.bound.is_lower
    decisive = values.index(min(values) if lower else max(values))
    worst = values[decisive]
    subject = name(decisive)
    if len(values) > 1:
        subject += f", {'lowest' if lower else 'highest'} of {len(values)}"
    found = limit.judge(Quantity(worst, unit) if unit else worst, subject)
    if found.outcome is Outcome.CONFORMS or len(values) == 1:
        return found
    failing = _failing(limit, values, unit)
    named = ", ".join(name(i) for i in failing[:NAMED])
    more = ", ..." if len(failing) > NAMED else ""
    counted = f" {len(failing)} of {len(values)} {noun} fail: {named}{more}."
    return replace(found, statement=found.statement + counted)


def _failing(limit: Limit, values: Sequence[Magnitude], unit: str) -> list[int]:
    """Which values fail, worst first."""
    threshold = limit.acceptance
    if isinstance(limit.value, Quantity):
        threshold = Quantity(threshold, limit.value.unit).magnitude_in(unit)
    value_of = values.__getitem__
    order = sorted(range(len(values)), key=value_of)
    if limit.bound in (Bound.AT_LEAST, Bound.BELOW):
        cut = bisect_left(order, threshold, key=value_of)
    else:
        cut = bisect_right(order, threshold, key=value_of)
    return order[:cut] if limit.bound.is_lower else order[cut:][::-1]
