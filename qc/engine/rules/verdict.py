"""Findings, one for each rule applied, and the verdict that combines them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from qc.engine import ENGINE
from qc.engine.rules.sentence import counted


class Outcome(StrEnum):
    """What a judgement can come to. There is no pass by default."""

    DOES_NOT_CONFORM = "does_not_conform"
    CANNOT_BE_JUDGED = "cannot_be_judged"
    INCOMPLETE = "incomplete"
    CONFORMS = "conforms"


WORST_FIRST = tuple(Outcome)


def worst(outcomes: Iterable[Outcome]) -> Outcome:
    """The outcome that decides: the worst of `outcomes`; nothing judged cannot be judged."""
    present = set(outcomes)
    return next((o for o in WORST_FIRST if o in present), Outcome.CANNOT_BE_JUDGED)


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One rule applied once: what was observed, against what limit, and where the limit is from."""

    rule: str
    outcome: Outcome
    statement: str
    observed: str = ""
    limit: str = ""
    source: str = ""
    flags: tuple[str, ...] = ()

    def as_case(self) -> dict[str, str]:
        """The finding in the case format."""
        return {
            "rule": self.rule,
            "outcome": str(self.outcome),
            "observed": self.observed,
            "limit": self.limit,
            "statement": self.statement,
            "source": self.source,
        }


@dataclass(frozen=True, kw_only=True)
class Assessment:
    """What a characteristic's rules return: findings, computed values and flags."""

    findings: tuple[Finding, ...]
    computed: Mapping[str, Any] = field(default_factory=dict)
    flags: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """The judgement of one set of readings, with everything needed to explain it."""

    outcome: Outcome
    findings: tuple[Finding, ...]
    computed: Mapping[str, Any]
    flags: tuple[str, ...]
    engine: str = ENGINE

    @classmethod
    def of(cls, assessment: Assessment) -> "Verdict":
        """The verdict of an assessment: its worst finding decides."""
        flags = [*assessment.flags, *(f for found in assessment.findings for f in found.flags)]
        return cls(
            outcome=worst(found.outcome for found in assessment.findings),
            findings=assessment.findings,
            computed=assessment.computed,
            flags=tuple(dict.fromkeys(flags)),
        )

    def as_case(self) -> dict[str, Any]:
        """The verdict in the case format: JSON types only."""
        return {
            "outcome": str(self.outcome),
            "findings": [found.as_case() for found in self.findings],
            "computed": dict(self.computed),
            "flags": list(self.flags),
            "engine": self.engine,
        }


def cannot_be_judged(rule: str, statement: str, source: str = "") -> Finding:
    """A needed input is missing or impossible: a data error, neither a pass nor a fail."""
    return Finding(rule=rule, outcome=Outcome.CANNOT_BE_JUDGED, statement=statement, source=source)


def enough_readings(
    rule: str,
    count: int,
    required: int,
    noun: str = "reading",
    source: str = "",
    *,
    which: str = "",
) -> Finding:
    """Conforms when `count` reaches `required`, else incomplete: fewer is never a pass.

    `noun` names one of what is counted; `which` follows it, as "at spot 3".
    """
    outcome = Outcome.CONFORMS if count >= required else Outcome.INCOMPLETE
    missing = "" if count >= required else f"; {required - count} more to take"
    what = f"{counted(count, noun)} {which}".strip()
    return Finding(
        rule=rule,
        outcome=outcome,
        observed=str(count),
        limit=f"at least {required}",
        statement=f"{what}, at least {required} asked for{missing}.",
        source=source,
    )
