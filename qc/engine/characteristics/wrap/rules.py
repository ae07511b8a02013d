"""Judges a wrap while it is applied: seal, rolls, and the finished wrap against its design."""

from collections.abc import Callable, Sequence
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.wrap.build import (
    build_findings,
    extent,
    extent_flags,
    layers_of,
    layers_of_design,
    lowest_overlap,
    thin_places,
)
from qc.engine.characteristics.wrap.risk import risk_flags
from qc.engine.characteristics.wrap.rolls import overlap_of, roll_findings, time_allowed
from qc.engine.characteristics.wrap.seal import pad_extent, seal_findings
from qc.engine.fields import Values
from qc.engine.quantities import Quantity, decimal_text
from qc.engine.rules import Assessment


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Every rule the plan sets, whatever the order of the readings."""
    findings = (
        *seal_findings(criteria, readings),
        *roll_findings(criteria, readings),
        *build_findings(criteria, readings),
    )
    return Assessment(
        findings=findings,
        computed=_computed(criteria, readings),
        flags=(
            *thin_places(criteria, readings),
            *extent_flags(criteria),
            *risk_flags(criteria),
        ),
    )


def _computed(criteria: Criteria, readings: Sequence[Values]) -> dict[str, Any]:
    lowest = lowest_overlap(criteria, readings)

    def of_part(part: str, derive: Callable[[Values], Any]) -> list[str | None]:
        return [_text(derive(r)) if r.text("part") == part else None for r in readings]

    return {
        "pad_extent": of_part("pad", pad_extent),
        "working_time": of_part("roll", lambda roll: time_allowed(criteria, roll)),
        "overlap": of_part("roll", lambda roll: overlap_of(criteria, roll)),
        "layers": of_part("wrap", lambda wrap: layers_of(wrap, lowest)),
        "layers_asked": layers_of_design(criteria),
        **extent(criteria),
    }


def _text(value: Any) -> str | None:
    if value is None:
        return None
    return str(value) if isinstance(value, Quantity) else decimal_text(value)
