"""Judges many places by what was seen at each, in one finding."""

from collections.abc import Sequence

from qc.engine.rules.series import listed
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
    """One finding for all places, at least one: the worst decides; where it holds is named.

    `names` are what the places are called; by their number in the record where none are given.
    """
    outcome = worst(each for each, _ in judged)
    decisive = [i for i, (each, _) in enumerate(judged) if each is outcome]
    reason = judged[decisive[0]][1]
    if len(judged) > 1:
        called = listed([names[i] if names else i + 1 for i in decisive])
        reason = f"{called if names else f'Reading {called}'}: {reason}"
    return Finding(
        rule=rule,
        outcome=outcome,
        observed=observed,
        limit=limit,
        statement=f"{reason[0].upper()}{reason[1:]}.",
        source=source,
    )
