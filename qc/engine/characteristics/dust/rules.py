"""Judges tape tests for dust: by quantity and size, or in the form of the IMO standard."""

from collections.abc import Sequence
from decimal import Decimal

from qc.engine.characteristic import Criteria
from qc.engine.fields import InvalidValue, Values
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Judged,
    Outcome,
    cannot_be_judged,
    judge_each,
    judge_places,
    listed,
)
from qc.engine.standards.tables import load_tables

TABLES = load_tables("qc.engine.characteristics.dust")
_IMO = TABLES["imo"]
_LARGE = int(_IMO["from_size"])


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue for a limit on size beside the IMO form, which has its own."""
    if criteria.text("rule") == "imo" and "size_max" in criteria:
        raise InvalidValue(f"{path}.size_max", "the IMO form limits no size of its own")


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """The number of tests, and every test by the rule the plan names."""
    by_rule = _imo if criteria.text("rule") == "imo" else _simple
    judged = by_rule(criteria, readings)
    counted = [criteria.enough("readings_min", "dust.readings", len(readings), "test")]
    sizes = [size for reading in readings if (size := size_of(reading)) is not None]
    return Assessment(
        findings=(*counted, *judged) if judged else (),
        computed={
            "highest_quantity": max(reading.integer("quantity") for reading in readings),
            "highest_size": max(sizes, default=None),
        },
        flags=tuple(_flags(readings)),
    )


def size_of(reading: Values) -> int | None:
    """The size class; 0 where there is no dust, whose size would mean nothing."""
    if not reading.integer("quantity"):
        return 0
    return reading.integer("size") if "size" in reading else None


def _simple(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    names = [_name(reading, n) for n, reading in enumerate(readings, start=1)]
    quantities = [reading.integer("quantity") for reading in readings]
    sizes = [(name, size_of(reading)) for name, reading in zip(names, readings, strict=True)]
    known = [(name, size) for name, size in sizes if size is not None]
    findings = [
        *_most(criteria, "quantity_max", "Quantity", list(zip(names, quantities, strict=True))),
        *_most(criteria, "size_max", "Size class", known),
    ]
    if len(known) < len(sizes) and "size_max" in criteria:
        lacking = listed([name for name, size in sizes if size is None])
        said = f"{lacking[0].upper()}{lacking[1:]}: the size class of the dust is not stated."
        findings.append(cannot_be_judged("dust.size", said, criteria.source("size_max")))
    return findings


def _most(
    criteria: Criteria, name: str, label: str, ratings: Sequence[tuple[str, int]]
) -> list[Finding]:
    if name not in criteria or not ratings:
        return []
    limit = criteria.limit(
        name,
        f"dust.{name.removesuffix('_max')}",
        label,
        Bound.AT_MOST,
        places=0,
        value=Decimal(criteria.integer(name)),
    )
    values = [Decimal(rating) for _, rating in ratings]
    return [judge_each(limit, values, "", lambda i: ratings[i][0], "tests")] if limit else []


def _imo(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    stated = "quantity_max" in criteria
    most = criteria.integer("quantity_max", int(_IMO["quantity"]))
    return [
        judge_places(
            "dust.imo",
            [_imo_of(reading, most) for reading in readings],
            observed=", ".join(dict.fromkeys(map(_seen, readings))),
            limit=f"quantity {most} for size classes {_LARGE} to 5, no smaller dust visible",
            source=criteria.source("quantity_max") if stated else _IMO["source"],
            names=[_name(reading, n) for n, reading in enumerate(readings, start=1)],
        )
    ]


def _imo_of(reading: Values, most: int) -> Judged:
    quantity, size, visible = reading.integer("quantity"), size_of(reading), reading.flag("visible")
    if size is None:
        return Outcome.CANNOT_BE_JUDGED, "the size class of the dust is not stated"
    if not quantity:
        return Outcome.CONFORMS, "no dust"
    if size >= _LARGE:
        if quantity > most:
            said = f"quantity {quantity} of size class {size} is above {most}"
            return Outcome.DOES_NOT_CONFORM, said
        return Outcome.CONFORMS, f"quantity {quantity} of size class {size} is within {most}"
    if visible:
        said = f"dust of size class {size} is visible without magnification: remove it"
        return Outcome.DOES_NOT_CONFORM, said
    if visible is None and size:
        said = f"not stated whether dust of size class {size} is visible without magnification"
        return Outcome.CANNOT_BE_JUDGED, said
    return Outcome.CONFORMS, f"dust of size class {size} is not visible without magnification"


def _seen(reading: Values) -> str:
    size = size_of(reading)
    return f"quantity {reading.integer('quantity')}, size {'not stated' if size is None else size}"


def _name(reading: Values, number: int) -> str:
    return reading.text("location") or f"reading {number}"


def _flags(readings: Sequence[Values]) -> list[str]:
    numbered = list(enumerate(readings, start=1))
    flags = []
    covered = TABLES["rust_grades"]["covered"]
    beyond = [n for n, r in numbered if "rust_grade" in r and r.text("rust_grade") not in covered]
    if beyond:
        flags.append(
            f"dust.rust_grade: reading {listed(beyond)}: the tape test is made for steel of rust "
            f"grade {', '.join(covered)} before cleaning"
        )
    stained = [n for n, r in numbered if r.flag("discoloured")]
    if stained:
        flags.append(
            f"dust.discoloured: reading {listed(stained)}: the tape is discoloured all over"
        )
    return flags
