"""Judges whether the surface is dry, by the methods that the plan takes."""

from collections.abc import Sequence

from qc.engine.characteristic import Criteria
from qc.engine.fields import Values
from qc.engine.rules import Assessment, Finding, Judged, Outcome, judge_places, listed
from qc.engine.standards.tables import load_tables, source_text

TABLES = load_tables("qc.engine.characteristics.moisture")
METHODS: tuple[str, ...] = tuple(TABLES["methods"])


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Any moisture rejects, whatever the method; only the plan's methods show that it is dry."""
    taken = criteria.texts("methods") or METHODS
    counted = [reading for reading in readings if reading.text("method") in taken]
    findings = [
        judge_places(
            "moisture.found",
            [_judged(reading) for reading in readings],
            observed="moist" if any(reading.flag("moist") for reading in readings) else "dry",
            limit="dry",
            source=source_text(TABLES),
            names=[r.text("location") or f"reading {n}" for n, r in enumerate(readings, start=1)],
        ),
        criteria.enough("readings_min", "moisture.readings", len(counted)),
    ]
    return Assessment(
        findings=(*findings, *_unnamed(readings)),
        computed={"moist": sum(reading.flag("moist") is True for reading in readings)},
        flags=tuple(_flags(taken, readings)),
    )


def _judged(reading: Values) -> Judged:
    by = TABLES["methods"][reading.text("method")]
    if reading.flag("moist"):
        return Outcome.DOES_NOT_CONFORM, f"moisture was found ({by}): dry it and test again"
    return Outcome.CONFORMS, f"dry ({by})"


def _unnamed(readings: Sequence[Values]) -> list[Finding]:
    """A method of another name has to be named."""
    lacking = [
        n
        for n, reading in enumerate(readings, start=1)
        if reading.text("method") == "other" and not reading.text("remark")
    ]
    if not lacking:
        return []
    return [
        Finding(
            rule="moisture.method",
            outcome=Outcome.INCOMPLETE,
            statement=f"Reading {listed(lacking)}: the remark does not name the method.",
        )
    ]


def _flags(taken: Sequence[str], readings: Sequence[Values]) -> list[str]:
    others = [n for n, r in enumerate(readings, start=1) if r.text("method") not in taken]
    if not others:
        return []
    return [f"moisture.method: reading {listed(others)}: not by a method of the plan, not counted"]
