"""Judges a finished laminate by what was seen and what was measured."""

from collections.abc import Sequence
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.laminate.answers import answer_findings
from qc.engine.characteristics.laminate.sizes import size_findings, wrinkle_limit
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import Assessment, Finding, by_reason, cannot_be_judged, listed


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Everything the plan asks, at every place looked at, whatever the order."""
    return Assessment(
        findings=(
            *_contradictions(readings),
            *answer_findings(criteria, readings),
            *size_findings(criteria, readings),
        ),
        computed=_computed(criteria, readings),
    )


_SIZES = (
    ("pits", ("pit_widths", "pit_heights")),
    ("wrinkles", ("wrinkle_steps",)),
    ("delamination", ("delamination_sizes",)),
)


def _contradictions(readings: Sequence[Values]) -> list[Finding]:
    """A size of something that was not found."""
    wrong = [
        (n, f"{seen} are measured and said not to be there")
        for n, reading in enumerate(readings, start=1)
        for seen, sizes in _SIZES
        if reading.flag(seen) is False and any(name in reading for name in sizes)
    ]
    return [
        cannot_be_judged("laminate.data", f"Reading {listed(numbers)}: {reason}.")
        for reason, numbers in by_reason(wrong).items()
    ]


def _computed(criteria: Criteria, readings: Sequence[Values]) -> dict[str, Any]:
    values = [value for reading in readings for value in reading.quantities("thickness")]
    limits = [
        limit for r in readings if (limit := wrinkle_limit(criteria, r, readings)) is not None
    ]
    return {
        "thickness_least": _text(min(values, default=None)),
        "wrinkle_limit": _text(min(limits, default=None)),
        "thickness_readings": len(values),
    }


def _text(value: Quantity | None) -> str | None:
    return None if value is None else str(value)
