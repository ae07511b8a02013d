"""Judges many places by what was seen at each, in one finding."""

from collections.abc import Sequence

from qc.engine.rules.sentence import NAMED, by_reason, ended, listed
from qc.engine.rules.verdict import Finding, Outcome, worst

Judged = tuple[Outcome, str]
"""How one place comes off, and why in words."""


def judge_places(
    rule: str,
    judged: Sequence[Judged],
    *,
    observed: str,
    limit: str,
    source: str,
    names: Sequence[str] = (),
) -> Finding:
    """One finding for all places, at least one: the worst decides; where and why is named.

    `names` are what the places are called; by their number in the record where none are given.
    """
    outcome = worst(each for each, _ in judged)
    reasons = by_reason((i, why) for i, (each, why) in enumerate(judged) if each is outcome)
    single = len(judged) == 1
    parts = [
        reason if single else f"{_called(where, names)}: {reason}"
        for reason, where in list(reasons.items())[:NAMED]
    ]
    said = "; ".join(parts) + ("; ..." if len(reasons) > NAMED else "")
    return Finding(
        rule=rule,
        outcome=outcome,
        observed=observed,
        limit=limit,
        statement=ended(f"{said[0].upper()}{said[1:]}"),
        source=source,
    )


def _called(where: Sequence[int], names: Sequence[str]) -> str:
    if names:
        return listed(list(dict.fromkeys(names[i] for i in where)))
    return f"reading {listed([i + 1 for i in where])}"
