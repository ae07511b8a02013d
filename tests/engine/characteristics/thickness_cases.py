"""Cases of thickness in few words, for the tests of its rules."""

from typing import Any

from qc.engine.case import judge_case

Verdict = dict[str, Any]


def um(*values: object) -> list[str]:
    return [f"{value} um" for value in values]


def mil(*values: object) -> list[str]:
    return [f"{value} mil" for value in values]


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> Verdict:
    case = {"characteristic": "thickness", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


def outcomes(verdict: Verdict) -> dict[str, str]:
    """Outcome by rule; of rules that are applied more than once, the last."""
    return {finding["rule"]: finding["outcome"] for finding in verdict["findings"]}


def finding(verdict: Verdict, rule: str) -> dict[str, str]:
    (found,) = [each for each in verdict["findings"] if each["rule"] == rule]
    return dict(found)


def flagged(verdict: Verdict, rule: str) -> bool:
    return any(flag.startswith(f"{rule}:") for flag in verdict["flags"])
