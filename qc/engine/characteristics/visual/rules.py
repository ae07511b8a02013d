"""Judges a checklist: every item answered, none rejected."""

from collections.abc import Sequence

from qc.engine.characteristic import Criteria
from qc.engine.fields import InvalidValue, Values
from qc.engine.rules import Assessment, Finding, Outcome, cannot_be_judged


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue where an item stands twice on the list: which answer is whose?"""
    seen: set[str] = set()
    for i, item in enumerate(criteria.groups("items")):
        if _plain(item) in seen:
            raise InvalidValue(f"{path}.items[{i}]", f"{item.text('item')!r} stands twice")
        seen.add(_plain(item))


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """One finding an item of the plan's checklist, and one for each answer to an unknown item.

    An item answered more than once is rejected as soon as one of its answers rejects it.
    """
    items = criteria.groups("items")
    if not items:
        missing = cannot_be_judged("visual.items", "The plan gives no checklist to answer.")
        return Assessment(findings=(missing,))
    answers = _answers_by_item(readings)
    source = criteria.source("items")
    findings = [_judge_item(item, answers.get(_plain(item), []), source) for item in items]
    others = (*_unexplained(readings), *_unknown(items, readings))
    return Assessment(findings=(*findings, *others), computed=_counts(findings))


def _plain(values: Values) -> str:
    """An item's text as it is matched: without regard to case and spacing."""
    return " ".join(values.text("item").casefold().split())


def _answers_by_item(readings: Sequence[Values]) -> dict[str, list[Values]]:
    answers: dict[str, list[Values]] = {}
    for reading in readings:
        answers.setdefault(_plain(reading), []).append(reading)
    return answers


def _judge_item(item: Values, answers: Sequence[Values], source: str) -> Finding:
    rejected = [answer for answer in answers if not answer.flag("accepted")]
    deciding = rejected or answers
    outcome, said = _decided(rejected, answers)
    remarks = _joined(deciding, "remark")
    return Finding(
        rule="visual.item",
        outcome=outcome,
        statement=f"{item.text('item')}: {said}. {remarks}".strip(),
        observed=_joined(deciding, "measured") or said,
        limit=item.text("asked") or "accepted",
        source=item.text("source") or source,
    )


def _decided(rejected: Sequence[Values], answers: Sequence[Values]) -> tuple[Outcome, str]:
    if rejected:
        return Outcome.DOES_NOT_CONFORM, "rejected"
    if answers:
        return Outcome.CONFORMS, "accepted"
    return Outcome.INCOMPLETE, "not answered yet"


def _joined(answers: Sequence[Values], name: str) -> str:
    return "; ".join(answer.text(name) for answer in answers if answer.text(name))


def _unexplained(readings: Sequence[Values]) -> list[Finding]:
    """A rejection has to say what was seen."""
    return [
        Finding(
            rule="visual.remark",
            outcome=Outcome.INCOMPLETE,
            statement=f"{reading.text('item')}: rejected, but no remark says what was seen.",
        )
        for reading in readings
        if not reading.flag("accepted") and not reading.text("remark")
    ]


def _unknown(items: Sequence[Values], readings: Sequence[Values]) -> list[Finding]:
    known = {_plain(item) for item in items}
    return [
        cannot_be_judged(
            "visual.item", f"{reading.text('item')}: not an item of the plan's checklist."
        )
        for reading in readings
        if _plain(reading) not in known
    ]


def _counts(findings: Sequence[Finding]) -> dict[str, int]:
    outcomes = [finding.outcome for finding in findings]
    return {
        "accepted": outcomes.count(Outcome.CONFORMS),
        "rejected": outcomes.count(Outcome.DOES_NOT_CONFORM),
        "open": outcomes.count(Outcome.INCOMPLETE),
    }
