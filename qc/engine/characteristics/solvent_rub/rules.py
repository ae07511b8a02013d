"""Judges solvent rubs against an agreed rating."""

from collections.abc import Sequence
from decimal import Decimal

from qc.engine.characteristic import Criteria
from qc.engine.fields import Values
from qc.engine.rules import (
    Assessment,
    Bound,
    Finding,
    Outcome,
    cannot_be_judged,
    counted,
    enough_readings,
)
from qc.engine.standards.tables import load_tables, source_text

TABLES = load_tables("qc.engine.characteristics.solvent_rub")
DOUBLE_RUBS = int(TABLES["defaults"]["rubs_min"]["value"])


def assess(criteria: Criteria, readings: Sequence[Values]) -> Assessment:
    """Number of places, and each rub: consistent, long enough, rated high enough."""
    findings = [
        enough_readings(
            "solvent_rub.readings",
            len(readings),
            criteria.integer("readings_min", 1),
            "place",
            criteria.source("readings_min"),
        )
    ]
    for i, reading in enumerate(readings, start=1):
        findings += _judge(criteria, reading, reading.text("location") or f"place {i}")
    lowest = min(reading.integer("rating") for reading in readings)
    return Assessment(findings=tuple(findings), computed={"lowest": lowest})


def _judge(criteria: Criteria, reading: Values, place: str) -> list[Finding]:
    through, rating = reading.flag("penetrated"), reading.integer("rating")
    if through is not None and through != (rating == 0):
        said = "rubbed through" if through else "not rubbed through"
        statement = f"{place}: {said}, yet rated {rating}; only a rub that goes through rates 0."
        return [cannot_be_judged("solvent_rub.rating", statement)]
    return [
        *_judge_rubs(criteria, reading, place),
        *_judge_rating(criteria, rating, place),
        *_judge_control(criteria, reading, place),
    ]


def _judge_rubs(criteria: Criteria, reading: Values, place: str) -> list[Finding]:
    """A coat that is not rubbed through has to stand all rubs."""
    asked = criteria.integer("rubs_min", DOUBLE_RUBS)
    source = criteria.source("rubs_min") if "rubs_min" in criteria else source_text(TABLES)
    done = reading.integer("rubs")
    if reading.integer("rating") == 0 or done >= asked:
        return []
    return [
        Finding(
            rule="solvent_rub.rubs",
            outcome=Outcome.INCOMPLETE,
            observed=str(done),
            limit=f"at least {asked}",
            statement=f"{place}: {done} of {counted(asked, 'double rub')} done.",
            source=source,
        )
    ]


def _judge_rating(criteria: Criteria, rating: int, place: str) -> list[Finding]:
    if "rating_min" not in criteria:
        statement = f"{place}: the plan agrees no rating."
        return [cannot_be_judged("solvent_rub.rating", statement)]
    limit = criteria.limit(
        "rating_min",
        "solvent_rub.rating",
        "Rating",
        Bound.AT_LEAST,
        places=0,
        value=Decimal(criteria.integer("rating_min")),
    )
    return [limit.judge(Decimal(rating), place)] if limit else []


def _judge_control(criteria: Criteria, reading: Values, place: str) -> list[Finding]:
    if not criteria.flag("control_panel"):
        return []
    if "control_rating" not in reading:
        statement = f"{place}: the control panel has not been rated."
        source = criteria.source("control_panel")
        return [cannot_be_judged("solvent_rub.control", statement, source)]
    limit = criteria.limit(
        "control_panel",
        "solvent_rub.control",
        "Rating beside the control panel",
        Bound.AT_LEAST,
        places=0,
        value=Decimal(reading.integer("control_rating")),
    )
    return [limit.judge(Decimal(reading.integer("rating")), place)] if limit else []
