"""The margin of the steel above the dew point through the shift, reading by reading."""

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from qc.engine.quantities import Dimension, Quantity, decimal_text, shown
from qc.engine.rules import Outcome
from qc.records.models import Inspection
from qc.records.progress import StepProgress
from qc.web.loading import RepairInHand

MARGIN, LEAST = "margin", "margin_min"


def shift_of(hand: RepairInHand, progress: StepProgress) -> dict[str, Any] | None:
    """The points of the picture by time, and its unit; None where the step asks no margin.

    What a later inspection corrects is left out.
    """
    checks, least = progress.step.checks, progress.step.criteria.get(LEAST)
    has_margin = any(f.name == MARGIN and f.per_reading for f in checks.computed)
    if not has_margin or not least:
        return None
    limit = Quantity.parse(least, Dimension.TEMPERATURE_DIFFERENCE)
    standing = [i for i in progress.inspections if i.pk not in progress.corrected]
    points = sorted(
        (point for inspection in standing for point in _points(inspection, limit)),
        key=lambda point: point["at"],
    )
    days = {point["at"].astimezone(hand.zone).date() for point in points}
    clock = "%H:%M" if len(days) == 1 else "%d %b %H:%M"
    for point in points:
        point["label"] = point["at"].astimezone(hand.zone).strftime(clock)
    return {"points": points, "unit": limit.unit} if points else None


def _points(inspection: Inspection, limit: Quantity) -> Iterator[dict[str, Any]]:
    readings = [reading.values for reading in inspection.readings.all()]
    margins = inspection.verdict.get("computed", {}).get(MARGIN) or []
    for reading, margin in zip(readings, margins[-len(readings) :], strict=False):
        yield {
            "at": datetime.fromisoformat(reading["at"])
            if reading.get("at")
            else inspection.observed_at,
            "margin": _figure(margin, limit),
            "limit": decimal_text(limit.magnitude),
            "outcome": _outcome(inspection, reading),
        }


def _figure(margin: str | None, limit: Quantity) -> str | None:
    if margin is None:
        return None
    value = Quantity.parse(margin, Dimension.TEMPERATURE_DIFFERENCE).magnitude_in(limit.unit)
    return shown(value, 1, limit.magnitude)


def _outcome(inspection: Inspection, reading: Mapping[str, Any]) -> str:
    """What the engine says of this reading's margin alone, by the criteria it was judged by."""
    checks = inspection.step.checks
    criteria = checks.parse_criteria(inspection.criteria, inspection.sources)
    judged = checks.judge(criteria, [checks.parse_reading(reading)])
    rule = f"{checks.key}.{MARGIN}"
    found = (finding.outcome for finding in judged.findings if finding.rule == rule)
    return str(next(found, Outcome.CANNOT_BE_JUDGED))
