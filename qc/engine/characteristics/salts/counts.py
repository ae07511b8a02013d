"""How many tests a plan asks for, and whether they were taken where they were asked."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.salts.criteria import TABLES
from qc.engine.characteristics.salts.extraction import Extraction
from qc.engine.quantities import Quantity
from qc.engine.rules import Bound, Finding, Outcome, enough_readings

_TABLE = TABLES["readings"]


def extractions_by_area(area: Quantity) -> int:
    """Three tests up to 100 m2 (1000 ft2), one for each further 200 m2 (2000 ft2) or part.

    The unit of `area` chooses between the two systems.
    """
    system = _TABLE["us" if area.unit == "ft2" else "metric"]
    beyond = max(0, area.magnitude_in(system["unit"]) - int(system["first"]))
    return int(_TABLE["least"]) + ceil(beyond / int(system["step"]))


def enough_tests(criteria: Criteria, rule: str, count: int, void: Sequence[Extraction]) -> Finding:
    """The greater of the numbers that the area and the plan ask for; `void` tests are named."""
    area = criteria.quantity("area")
    by_area = extractions_by_area(area) if area else 0
    if by_area < criteria.integer("readings_min", 1):
        found = criteria.enough("readings_min", rule, count, "valid tests")
    else:
        found = enough_readings(rule, count, by_area, "valid tests", _TABLE["source"])
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
