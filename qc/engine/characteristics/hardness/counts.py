"""How many readings are asked for: by the plan, the test method, and for Barcol by hardness."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from qc.engine.characteristic import Criteria
from qc.engine.formulas.statistics import mean
from qc.engine.rules import Finding, enough_readings
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.hardness")


def barcol_readings(hardness: Fraction, material: str) -> int:
    """Readings by the table of ASTM D2583, from memory: the row at or below `hardness`.

    The softer the material, the more readings; below the first row, its number holds.
    """
    rows = _TABLES["barcol_readings"][material]
    pairs = list(zip(rows["hardness"], rows["count"], strict=True))
    reached = [count for figure, count in pairs if hardness >= int(figure)]
    return int(reached[-1] if reached else pairs[0][1])


def count_finding(criteria: Criteria, values: Sequence[Decimal], count: int) -> Finding:
    """Whether as many readings were taken as the plan asks for, and its method or the table."""
    rule = "hardness.readings"
    asked, source = _by_method(criteria) or _by_table(criteria, values) or (0, "")
    if asked <= criteria.integer("readings_min", 1):
        return criteria.enough("readings_min", rule, count)
    return enough_readings(rule, count, asked, source=source)


def _by_method(criteria: Criteria) -> tuple[int, str] | None:
    """The Shore methods have a number of readings, those of Barcol a table by hardness."""
    method = _TABLES["methods"].get(criteria.text("test_method"), {})
    return (int(method["readings"]), method["source"]) if "readings" in method else None


def _by_table(criteria: Criteria, values: Sequence[Decimal]) -> tuple[int, str] | None:
    material = criteria.text("material")
    if not material or not values:
        return None
    return barcol_readings(mean(values), material), _TABLES["barcol_readings"]["source"]
