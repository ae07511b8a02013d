"""How many readings, spots and areas a rule asks for, by area."""

from fractions import Fraction
from math import ceil
from typing import Any

from qc.engine.quantities import Quantity
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.thickness")


def iso19840_readings(area: Quantity) -> int:
    """Readings for one inspection area: 5 to 30 by steps, then 10 for each further 100 m2."""
    table = _TABLES["iso19840"]["readings"]
    square_metres = area.magnitude_in(table["unit"])
    for upto, count in zip(table["upto"], table["count"], strict=True):
        if square_metres <= int(upto):
            return int(count)
    further = ceil((square_metres - int(table["upto"][-1])) / int(table["further_area"]))
    return int(table["count"][-1]) + further * int(table["further_count"])


def iso19840_too_large(area: Quantity) -> bool:
    """True above 1000 m2, where the surface is divided into inspection areas."""
    table = _TABLES["iso19840"]["readings"]
    return bool(area.magnitude_in(table["unit"]) > int(table["largest_area"]))


def ninety_ten_readings(area: Quantity) -> int:
    """One reading for each 5 m2 or part of it, at least one."""
    table = _TABLES["ninety_ten"]
    return max(1, ceil(area.magnitude_in(table["unit"]) / int(table["area_per_reading"])))


def pa2_areas(area: Quantity) -> int:
    """Areas of five spots each: one for each 10 m2 (100 ft2) below 30 m2 (300 ft2), three up to
    100 m2 (1000 ft2), one more for each further 100 m2 (1000 ft2) or part. The round figures of
    the two systems differ a little; the unit of `area` chooses."""
    table = _pa2_table(area.unit)
    size = area.magnitude_in(table["unit"])
    if size < int(table["all_below"]):
        return max(1, ceil(size / int(table["one_each"])))
    whole = int(table["all_below"]) // int(table["one_each"])
    return whole + max(0, ceil((size - int(table["first"])) / int(table["further"])))


def _pa2_table(unit: str) -> dict[str, Any]:
    tables: dict[str, dict[str, Any]] = _TABLES["pa2"]["areas"]
    return tables["us" if unit == "ft2" else "metric"]


def iso19840_repeats(readings: int) -> int:
    """How many of so many readings may be repeated: 1 to 6 by steps, above 30 a fifth."""
    table = _TABLES["iso19840"]["repeats"]
    for count, allowed in zip(table["count"], table["allowed"], strict=True):
        if readings <= int(count):
            return int(allowed)
    return int(readings * Fraction(table["further_share"]))
