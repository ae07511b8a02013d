"""Doubts about a value that lies beyond what the instrument can measure."""

from collections.abc import Iterable, Iterator
from typing import Any

from qc.engine.fields import Field, Kind
from qc.engine.metrology import Range, dimensions_of, range_of
from qc.engine.plan import Doubt, Party
from qc.engine.quantities import Dimension, Quantity
from qc.records.models import Inspection, Instrument, PlanStep, Reading
from qc.workflow.trust import Progress


def values_out_of_range(progress: Progress) -> Iterator[tuple[int, str, Doubt]]:
    """Standing readings that no instrument used for them covers by its stated range.

    An instrument that states no range may have been the one that took the value: nothing is said
    of the kind of quantity that it measures.
    """
    ranged = [
        (repair.pk, step.step, inspection, ranges)
        for repair, steps in progress.items()
        for step in steps
        for inspection in step.standing
        if (ranges := _ranges([use.instrument for use in inspection.instrument_uses.all()]))
    ]
    readings = _readings([inspection for _, _, inspection, _ in ranged])
    for repair, step, inspection, ranges in ranged:
        for values in readings.get(inspection.pk, ()):
            yield from ((repair, step.key, doubt) for doubt in _doubts(step, values, ranges))


Ranges = dict[Dimension, list[tuple[Instrument, Range]]]


def _ranges(instruments: Iterable[Instrument]) -> Ranges:
    """The stated ranges by kind of quantity, but for kinds that an unbounded instrument reads."""
    found: Ranges = {}
    unbounded: set[Dimension] = set()
    for instrument in instruments:
        stated = range_of(instrument.kind, instrument.range_low, instrument.range_high)
        if stated.dimension is not None:
            found.setdefault(stated.dimension, []).append((instrument, stated))
        else:
            unbounded.update(dimensions_of(instrument.kind)[:1])
    return {dimension: held for dimension, held in found.items() if dimension not in unbounded}


def _readings(inspections: Iterable[Inspection]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = {}
    rows = Reading.objects.filter(inspection__in=[inspection.pk for inspection in inspections])
    for inspection, values in rows.values_list("inspection", "values"):
        found.setdefault(inspection, []).append(values)
    return found


def _doubts(step: PlanStep, values: Any, ranges: Ranges) -> Iterator[Doubt]:
    for field in step.checks.reading:
        held = ranges.get(field.dimension) if field.dimension else None
        if field.kind is not Kind.QUANTITY or not held:
            continue
        for value in _quantities(field, values.get(field.name)):
            if not any(stated.covers(value) for _, stated in held):
                yield _doubt(field, value, held)


def _quantities(field: Field, stored: Any) -> list[Quantity]:
    items = stored if isinstance(stored, list) else [stored]
    return [Quantity.parse(item, field.dimension) for item in items if item]


def _doubt(field: Field, value: Quantity, held: list[tuple[Instrument, Range]]) -> Doubt:
    ranges = " and ".join(f"{one.identifier} ({_text(stated)})" for one, stated in held)
    return Doubt(
        rule="range",
        statement=f"{field.label} {value.printed} lies beyond the range of {ranges}",
        place="step",
        party=Party.INSPECTOR,
    )


def _text(stated: Range) -> str:
    low, high = (b.printed if isinstance(b, Quantity) else "" for b in (stated.low, stated.high))
    if low and high:
        return f"{low} to {high}"
    return f"from {low}" if low else f"up to {high}"
