"""What was inspected, on one page: for each step what was asked, what was found, by whom."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest
from typing import Any

from qc.certificate.series import Found, Series
from qc.certificate.site import Site
from qc.certificate.steps import StepView
from qc.engine.rules import Outcome, worst

_MOST_LINES = 3
"""A step with more findings of one rule than this gets one line for them all."""
_SUFFIXES = ("_min", "_max")
_SAMPLING = frozenset({"readings", "locations", "spots"})
"""Findings on whether enough was read; where it was, the detail of the step says so."""


@dataclass(frozen=True)
class Line:
    """One thing asked of a step, and what was found."""

    label: str
    limit: str
    source: str
    found: str


@dataclass(frozen=True)
class Scope:
    """A step in the table of what was inspected. `came_to`: its outcome, or `conceded`."""

    position: int
    title: str
    came_to: str
    conceded_until: str
    was_reworked: bool
    lines: tuple[Line, ...]
    by: str
    means: str
    when: str

    @property
    def rows(self) -> int:
        """How many rows of the table it takes."""
        return max(1, len(self.lines))


@dataclass(frozen=True)
class Stamp:
    """The stamp on the certificate: the worst outcome of all steps, and how many conform.

    What is accepted by concession is stamped so, unless something worse stands beside it.
    """

    outcome: str
    conforming: int
    steps: int
    reworked: int
    conceded: int = 0


def stamp_of(steps: Sequence[StepView]) -> Stamp:
    """The stamp that the steps' own outcomes give; a step without one cannot be judged."""
    conceded = sum(bool(step.conceded_until) for step in steps)
    outcomes = [
        Outcome(step.outcome or Outcome.INCOMPLETE) for step in steps if not step.conceded_until
    ]
    unconceded = worst(outcomes) if outcomes else Outcome.CONFORMS
    is_conceded = conceded and unconceded is Outcome.CONFORMS
    return Stamp(
        outcome="conceded" if is_conceded else str(unconceded),
        conforming=outcomes.count(Outcome.CONFORMS),
        steps=len(steps),
        reworked=sum(step.was_reworked for step in steps),
        conceded=conceded,
    )


def scope_of(view: StepView, step: Mapping[str, Any], site: Site) -> Scope:
    """The line of a step; `step` is the record's."""
    standing = [
        one
        for one in step["inspections"]
        if one["series"] == step["series"] and not one["is_corrected"]
    ]
    return Scope(
        position=view.position,
        title=view.title,
        came_to=view.came_to,
        conceded_until=view.conceded_until,
        was_reworked=view.was_reworked,
        lines=tuple(_once(list(_lines(view.final)))),
        by=_listed(one["recorded_by"] for one in standing),
        means=_listed(_means(standing)),
        when=site.span(one["observed_at"] for one in standing) if standing else "",
    )


def _lines(series: Series | None) -> Iterator[Line]:
    by_rule: dict[str, list[Found]] = {}
    for found in series.findings if series else ():
        if not _is_enough(found):
            by_rule.setdefault(found.rule, []).append(found)
    for findings in by_rule.values():
        if len(findings) > _MOST_LINES:
            yield _together(findings)
        else:
            yield from (_line(found, alone=len(findings) == 1) for found in findings)


def _once(lines: Sequence[Line]) -> Iterator[Line]:
    """The lines, with a source named once below those it is the source of."""
    for line, following in zip_longest(lines, lines[1:]):
        repeated = following is not None and following.source == line.source
        yield replace(line, source="") if repeated else line


def _is_enough(found: Found) -> bool:
    name = found.rule.rsplit(".", 1)[-1]
    return name in _SAMPLING and found.outcome == Outcome.CONFORMS


def _line(found: Found, alone: bool) -> Line:
    return Line(
        label=label_of(found, alone),
        limit=found.limit,
        source=found.source,
        found=found.observed or found.outcome.replace("_", " "),
    )


def _together(findings: Sequence[Found]) -> Line:
    conforming = sum(found.outcome == Outcome.CONFORMS for found in findings)
    return Line(
        label=f"{len(findings)} {_words_of(findings[0].rule).lower()}s",
        limit="each as the plan asks",
        source=_listed(found.source for found in findings),
        found=f"{conforming} of {len(findings)} conform",
    )


def label_of(found: Found, alone: bool = True) -> str:
    """What a finding is about, short: the name its sentence begins with, else that of its rule.

    Of several findings of one rule, not `alone`, the sentence's beginning tells which it is.
    """
    name, observed, _ = found.statement.partition(f" {found.observed}: ")
    if found.observed and observed:
        return name.rstrip(",").split(", ")[0]
    subject, colon, _ = found.statement.partition(": ")
    return subject if colon and not alone else _words_of(found.rule)


def _words_of(rule: str) -> str:
    name = rule.rsplit(".", 1)[-1]
    for suffix in _SUFFIXES:
        name = name.removesuffix(suffix)
    return name.replace("_", " ").capitalize()


def _means(inspections: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    for one in inspections:
        for instrument in one["instruments"]:
            yield f"{instrument['kind'].replace('_', ' ')} {instrument['identifier']}"
        for batch in one["batches"]:
            yield f"batch {batch['number']}"


def _listed(texts: Any) -> str:
    """The distinct texts in their order, separated by commas."""
    return ", ".join(dict.fromkeys(texts))
