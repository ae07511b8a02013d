"""Judges a checklist: every item answered, none rejected."""

from collections.abc import Sequence

from qc.engine.characteristic import Criteria
from qc.engine.fields import InvalidValue, Values
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Limit,
    Outcome,
    cannot_be_judged,
    worst,
)


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue where an item stands twice on the list, or its least is above its most."""
    seen: set[str] = set()
    for i, item in enumerate(criteria.groups("items")):
        if _plain(item) in seen:
            raise InvalidValue(f"{path}.items[{i}]", f"{item.text('item')!r} stands twice")
        seen.add(_plain(item))
        least, most = item.quantity("min"), item.quantity("max")
        if least is not None and most is not None and least > most:
            raise InvalidValue(f"{path}.items[{i}].min", f"{least} is above max, {most}")


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """The decision on each item of the plan's checklist, and its dimension where it has limits.

    An item answered more than once is rejected as soon as one of its answers rejects it. An item
    accepted by eye does not conform where its dimension misses a limit.
    """
    items = criteria.groups("items")
    if not items:
        missing = cannot_be_judged("visual.items", "The plan gives no checklist to answer.")
        return Assessment(findings=(missing,))
    answers = _answers_by_item(readings)
    source = criteria.source("items")
    by_item = [_judge(item, answers.get(_plain(item), []), source) for item in items]
    others = (*_unexplained(readings), *_unknown(items, readings))
    return Assessment(
        findings=(*(finding for found in by_item for finding in found), *others),
        computed=_counts(by_item),
    )


def _judge(item: Values, answers: Sequence[Values], source: str) -> list[Finding]:
    decision = _judge_decision(item, answers, source)
    return [decision, *_judge_dimension(item, answers, decision.source)] if answers else [decision]


def _plain(values: Values) -> str:
    """An item's text as it is matched: without regard to case and spacing."""
    return " ".join(values.text("item").casefold().split())


def _answers_by_item(readings: Sequence[Values]) -> dict[str, list[Values]]:
    answers: dict[str, list[Values]] = {}
    for reading in readings:
        answers.setdefault(_plain(reading), []).append(reading)
    return answers


def _judge_decision(item: Values, answers: Sequence[Values], source: str) -> Finding:
    rejected = [answer for answer in answers if not answer.flag("accepted")]
    deciding = rejected or answers
    outcome, said = _decided(rejected, answers)
    remarks = _joined(deciding, "remark")
    return Finding(
        rule="visual.item",
        outcome=outcome,
        statement=f"{item.text('item')}: {said}. {_sentence(remarks)}".strip(),
        observed=_measured(deciding) or said,
        limit=item.text("asked") or "accepted",
        source=item.text("source") or source,
    )


def _sentence(remarks: str) -> str:
    return remarks if not remarks or remarks.endswith((".", "!", "?")) else f"{remarks}."


def _decided(rejected: Sequence[Values], answers: Sequence[Values]) -> tuple[Outcome, str]:
    if rejected:
        return Outcome.DOES_NOT_CONFORM, "rejected"
    if answers:
        return Outcome.CONFORMS, "accepted"
    return Outcome.INCOMPLETE, "not answered yet"


def _measured(answers: Sequence[Values]) -> str:
    values = [str(v) for answer in answers if (v := answer.quantity("value")) is not None]
    return "; ".join(filter(None, (*values, _joined(answers, "measured"))))


def _joined(answers: Sequence[Values], name: str) -> str:
    return "; ".join(answer.text(name) for answer in answers if answer.text(name))


def _judge_dimension(item: Values, answers: Sequence[Values], source: str) -> list[Finding]:
    """Every dimension measured against the limits of the item; none measured is incomplete."""
    limits = [
        Limit(
            rule="visual.dimension",
            label=item.text("item"),
            value=value,
            bound=bound,
            source=source,
        )
        for value, bound in (
            (item.quantity("min"), Bound.AT_LEAST),
            (item.quantity("max"), Bound.AT_MOST),
        )
        if value is not None
    ]
    values = [value for answer in answers if (value := answer.quantity("value")) is not None]
    if values:
        return [limit.judge(value) for limit in limits for value in values]
    return [
        Finding(
            rule=limit.rule,
            outcome=Outcome.INCOMPLETE,
            limit=limit.text,
            statement=f"{limit.label}: not measured.",
            source=source,
        )
        for limit in limits
    ]


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


def _counts(by_item: Sequence[Sequence[Finding]]) -> dict[str, int]:
    outcomes = [worst(finding.outcome for finding in found) for found in by_item]
    return {
        "accepted": outcomes.count(Outcome.CONFORMS),
        "rejected": outcomes.count(Outcome.DOES_NOT_CONFORM),
        "open": outcomes.count(Outcome.INCOMPLETE),
    }
