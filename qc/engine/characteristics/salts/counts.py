"""How many tests a plan asks for, and whether they were taken where they were asked."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.salts.extraction import Extraction
from qc.engine.quantities import Quantity
from qc.engine.rules import Bound, Finding, Outcome, enough_readings
from qc.engine.standards.places_by_area import Prepared, places_by_area


def enough_tests(criteria: Criteria, rule: str, count: int, void: Sequence[Extraction]) -> Finding:
    """The greater of the numbers that the area and the plan ask for; `void` tests are named."""
    area = criteria.quantity("area")
    by_area = places_by_area(Prepared.SALTS, area) if area else 0
    if by_area < criteria.integer("readings_min", 1):
        found = criteria.enough("readings_min", rule, count, "valid test")
    else:
        found = enough_readings(rule, count, by_area, "valid test", Prepared.SALTS.source)
    if not void:
        return found
    named = "; ".join(f"{test.name}, {test.void}" for test in void)
    return replace(found, statement=f"{found.statement} Void: {named}.")


def weld_finding(criteria: Criteria, sound: Sequence[Extraction]) -> list[Finding]:
    """The share of valid tests at welds; too few are incomplete, for more can be taken."""
    limit = criteria.limit(
        "weld_share_min", "salts.welds", "Share of tests at welds", Bound.AT_LEAST, places=0
    )
    if limit is None or not sound:
        return []
    at_welds = sum(test.reading.flag("at_weld") is True for test in sound)
    found = limit.judge(Quantity(Fraction(100 * at_welds, len(sound)), "%"))
    if found.outcome is Outcome.CONFORMS:
        return [found]
    return [replace(found, outcome=Outcome.INCOMPLETE)]
