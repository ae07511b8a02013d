"""Judges many values against one limit by the value that decides, in one finding."""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import replace

from qc.engine.formulas.column import Column
from qc.engine.quantities import Magnitude, Quantity
from qc.engine.rules.limit import Bound, Limit
from qc.engine.rules.sentence import NAMED, ended, listed
from qc.engine.rules.verdict import Finding, Outcome


def judge_each(
    limit: Limit,
    values: Sequence[Magnitude],
    unit: str,
    name: Callable[[int], str],
    nouns: str = "values",
) -> Finding:
    """Whether each of `values` (at least one, in `unit`; "" for plain numbers) meets `limit`.

    The lowest decides against a lower limit, the highest against an upper one; where it fails, the
    statement says how many do and names the worst. `name(i)` is what value `i` is called, `nouns`
    what all of them are.
    """
    return judge_column(limit, Column(values, unit), name, nouns)


def judge_column(
    limit: Limit, column: Column, name: Callable[[int], str], nouns: str = "values"
) -> Finding:
    """As `judge_each`, for the values of a column."""
    lower = limit.bound.is_lower
    decisive = column.lowest if lower else column.highest
    worst = column.value(decisive)
    subject = name(decisive)
    if len(column) > 1:
        subject += f", {'lowest' if lower else 'highest'} of {len(column)}"
    found = limit.judge(Quantity(worst, column.unit) if column.unit else worst, subject)
    if found.outcome is Outcome.CONFORMS or len(column) == 1:
        return found
    failing = _failing(limit, column)
    named = listed([name(i) for i in failing[: NAMED + 1]])
    verb = "fails" if len(failing) == 1 else "fail"
    counted = ended(f"{len(failing)} of {len(column)} {nouns} {verb}: {named}")
    return replace(found, statement=f"{found.statement} {counted}")


def _failing(limit: Limit, column: Column) -> list[int]:
    """Which values fail, worst first."""
    acceptance = limit.acceptance
    if isinstance(limit.value, Quantity):
        acceptance = Quantity(acceptance, limit.value.unit).magnitude_in(column.unit)
    threshold, order = column.as_entered(acceptance), column.rising()
    if limit.bound in (Bound.AT_LEAST, Bound.BELOW):
        cut = bisect_left(order, threshold, key=column.entered.__getitem__)
    else:
        cut = bisect_right(order, threshold, key=column.entered.__getitem__)
    return order[:cut] if limit.bound.is_lower else order[cut:][::-1]
