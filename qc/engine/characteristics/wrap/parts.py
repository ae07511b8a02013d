"""The readings by the part of the wrap they are of, and how the values of one part are judged."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from qc.engine.characteristics.wrap.reading import PARTS
from qc.engine.fields import Values
from qc.engine.quantities import Magnitude, Quantity
from qc.engine.rules import Finding, Limit, Outcome, judge_each, listed


@dataclass(frozen=True)
class Recorded:
    """The readings of one part, each with its number in the record."""

    part: str
    numbered: Sequence[tuple[int, Values]]

    def __len__(self) -> int:
        return len(self.numbered)

    @property
    def noun(self) -> str:
        """What one of them is called."""
        return PARTS[self.part]


def recorded(readings: Sequence[Values], part: str) -> Recorded:
    """The readings of `part`."""
    numbered = enumerate(readings, start=1)
    return Recorded(part, [(n, reading) for n, reading in numbered if reading.text("part") == part])


def judge_part(
    limit: Limit | None,
    taken: Recorded,
    what: str,
    given: Callable[[Values], Quantity | Fraction | None],
    once: bool = False,
) -> list[Finding]:
    """Every value of a part against `limit`, in one finding; what is not recorded is incomplete.

    `what` the value is, and how a reading gives it; with `once` one of the readings is enough.
    """
    if limit is None:
        return []
    values = [(n, given(reading)) for n, reading in taken.numbered]
    known = [(n, value) for n, value in values if value is not None]
    lacking = [n for n, value in values if value is None]
    findings = [_judged(limit, known, taken.noun)] if known else []
    if lacking and not (once and known):
        findings.append(incomplete(limit, f"Reading {listed(lacking)}: {what} is not recorded."))
    if not values:
        findings.append(incomplete(limit, f"No {taken.noun} has been recorded."))
    return findings


def incomplete(limit: Limit, statement: str) -> Finding:
    """Something that the limit needs is still to be recorded."""
    return Finding(
        rule=limit.rule,
        outcome=Outcome.INCOMPLETE,
        limit=limit.text,
        statement=statement,
        source=limit.source,
    )


def _judged(limit: Limit, known: Sequence[tuple[int, Quantity | Fraction]], noun: str) -> Finding:
    unit = limit.value.unit if isinstance(limit.value, Quantity) else ""
    values: list[Magnitude] = [
        value.magnitude_in(unit) if isinstance(value, Quantity) else value for _, value in known
    ]
    return judge_each(limit, values, unit, lambda i: f"reading {known[i][0]}", f"{noun}s")
