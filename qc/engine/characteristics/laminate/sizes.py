"""What is measured: defects that may have a size, thickness, length, and the substrate before."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import (
    Bound,
    Finding,
    Limit,
    Outcome,
    cannot_be_judged,
    judge_each,
    listed,
)


@dataclass(frozen=True)
class _Sized:
    """A defect that may have some size: the yes-or-no question for it, and where sizes stand."""

    criterion: str
    rule: str
    label: str
    seen: str
    sizes: str
    by_tapping: bool = False


_SIZED = (
    _Sized(
        "pit_width_max",
        "pit_width",
        "Width of foreign matter, blister or pit",
        "pits",
        "pit_widths",
    ),
    _Sized(
        "pit_height_max",
        "pit_height",
        "Height of foreign matter, blister or pit",
        "pits",
        "pit_heights",
    ),
    _Sized("wrinkle_max", "wrinkle", "Step of a wrinkle", "wrinkles", "wrinkle_steps"),
    _Sized(
        "delamination_max",
        "delamination",
        "Delamination away from the ends",
        "delamination",
        "delamination_sizes",
        by_tapping=True,
    ),
)

_MEASURED = (
    ("length_min", "length", "Length of the repair", Bound.AT_LEAST, "length"),
    ("defect_max", "defect", "Defect of the substrate", Bound.AT_MOST, "defect_size"),
    ("edge_radius_min", "edge_radius", "Radius of an edge", Bound.AT_LEAST, "edge_radius"),
)


def size_findings(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """Every measured thing that the plan limits."""
    findings = []
    for sized in _SIZED:
        limit = criteria.limit(
            sized.criterion, f"laminate.{sized.rule}", sized.label, Bound.AT_MOST, places=1
        )
        if limit is not None:
            findings += _judge_sized(limit, sized, readings)
    findings += _wrinkle_share(criteria, readings)
    findings += _thickness(criteria, readings)
    for criterion, rule, label, bound, field in _MEASURED:
        limit = criteria.limit(criterion, f"laminate.{rule}", label, bound)
        findings += _judge_measured(limit, readings, field) if limit else []
    return findings


def _judge_sized(limit: Limit, sized: _Sized, readings: Sequence[Values]) -> list[Finding]:
    """Sizes against the limit; none, where the inspector says that there is none."""
    findings = [
        *_judge_values(limit, readings, sized.sizes),
        *_unmeasured(limit, sized.seen, sized.sizes, readings),
    ]
    answered = [r for r in readings if r.flag(sized.seen) is not None or sized.sizes in r]
    if sized.by_tapping and not all(reading.flag("tap_tested") for reading in answered):
        findings.append(
            _open(limit, f"{limit.label}: not tapped all over, and nothing else tells.")
        )
    return findings or [_none_found(limit, bool(answered))]


def _unmeasured(limit: Limit, seen: str, sizes: str, readings: Sequence[Values]) -> list[Finding]:
    """What was found has to be measured too."""
    numbered = enumerate(readings, start=1)
    lacking = [n for n, r in numbered if r.flag(seen) is True and sizes not in r]
    if not lacking:
        return []
    label = f"{limit.label[0].lower()}{limit.label[1:]}"
    return [_open(limit, f"Reading {listed(lacking)}: {label}: found, but not measured.")]


def _none_found(limit: Limit, answered: bool) -> Finding:
    if not answered:
        return _open(limit, f"{limit.label}: not answered yet.")
    return Finding(
        rule=limit.rule,
        outcome=Outcome.CONFORMS,
        observed="none",
        limit=limit.text,
        statement=f"{limit.label}: none found.",
        source=limit.source,
    )


def _judge_values(limit: Limit, readings: Sequence[Values], field: str) -> list[Finding]:
    values = [(n, v) for n, r in enumerate(readings, start=1) for v in r.quantities(field)]
    if not values or not isinstance(limit.value, Quantity):
        return []
    unit = limit.value.unit
    magnitudes = [value.magnitude_in(unit) for _, value in values]
    return [judge_each(limit, magnitudes, unit, lambda i: f"reading {values[i][0]}")]


def _wrinkle_share(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """Each wrinkle against the share of the thickness of its own place."""
    limit = criteria.limit(
        "wrinkle_share_max", "laminate.wrinkle_share", "Step of a wrinkle", Bound.AT_MOST
    )
    if limit is None:
        return []
    findings = [
        finding
        for n, reading in enumerate(readings, start=1)
        if "wrinkle_steps" in reading
        for finding in _share_of(criteria, limit, n, reading, readings)
    ]
    findings += _unmeasured(limit, "wrinkles", "wrinkle_steps", readings)
    answered = any(reading.flag("wrinkles") is not None for reading in readings)
    return findings or [_none_found(limit, answered)]


def _share_of(
    criteria: Criteria, share: Limit, number: int, reading: Values, readings: Sequence[Values]
) -> list[Finding]:
    allowed = wrinkle_limit(criteria, reading, readings)
    if allowed is None:
        said = f"Reading {number}: no thickness is recorded or designed of which to take a share."
        return [cannot_be_judged(share.rule, said, share.source)]
    label = f"{share.label} against {share.text} of the thickness"
    limit = criteria.limit("wrinkle_share_max", share.rule, label, Bound.AT_MOST, value=allowed)
    steps = [step.magnitude_in(allowed.unit) for step in reading.quantities("wrinkle_steps")]
    if limit is None:
        return []
    return [judge_each(limit, steps, allowed.unit, lambda _: f"reading {number}", "wrinkles")]


def wrinkle_limit(
    criteria: Criteria, reading: Values, readings: Sequence[Values]
) -> Quantity | None:
    """The share of the least thickness recorded beside the wrinkle.

    Where none is, of the design's, and without that of the least recorded anywhere.
    """
    share = criteria.quantity("wrinkle_share_max")
    anywhere = min((t for r in readings for t in r.quantities("thickness")), default=None)
    designed = criteria.quantity("thickness_min") or anywhere
    thickness = min(reading.quantities("thickness"), default=designed)
    if share is None or thickness is None:
        return None
    part = Fraction(share.magnitude_in("%")) / 100
    return Quantity(Fraction(thickness.magnitude) * part, thickness.unit)


def _thickness(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    limit = criteria.limit(
        "thickness_min", "laminate.thickness", "Thickness", Bound.AT_LEAST, places=2
    )
    if limit is None and "readings_min" not in criteria:
        return []
    count = sum(len(reading.quantities("thickness")) for reading in readings)
    counted = criteria.enough("readings_min", "laminate.readings", count, which="of thickness")
    return [counted, *(_judge_values(limit, readings, "thickness") if limit else [])]


def _judge_measured(limit: Limit, readings: Sequence[Values], field: str) -> list[Finding]:
    found = _judge_values(limit, readings, field)
    return found or [_open(limit, f"{limit.label}: not measured yet.")]


def _open(limit: Limit, statement: str) -> Finding:
    return Finding(
        rule=limit.rule,
        outcome=Outcome.INCOMPLETE,
        limit=limit.text,
        statement=statement,
        source=limit.source,
    )
