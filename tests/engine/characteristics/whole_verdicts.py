"""A verdict taken apart, to compare all of it but the wording with what was reckoned by hand."""

from collections.abc import Sequence
from typing import Any

from qc.engine.case import judge_case

Row = tuple[str, str, str, str, str]
"""Rule, outcome, observed, limit and source of one finding."""

OURS = "ours: "
"""How the source of a criterion starts here; the criterion's name follows."""


def judged(key: str, criteria: dict[str, Any], readings: Sequence[dict[str, Any]]) -> Any:
    """The verdict, each criterion with a source that names it."""
    sources = {name: OURS + name for name in criteria}
    case = {"characteristic": key, "criteria": criteria, "sources": sources}
    return judge_case(case | {"readings": list(readings)})


def rows(verdict: dict[str, Any]) -> list[Row]:
    """The findings without their statements."""
    return [
        (f["rule"], f["outcome"], f["observed"], f["limit"], f["source"])
        for f in verdict["findings"]
    ]


def subjects(verdict: dict[str, Any]) -> list[str]:
    """What each statement is about: what stands before its colon."""
    return [found["statement"].split(":")[0] for found in verdict["findings"]]


def flag_heads(verdict: dict[str, Any]) -> list[str]:
    """The flags without their explanations."""
    return [": ".join(flag.split(": ")[:2]) for flag in verdict["flags"]]
