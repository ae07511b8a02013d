"""Whether hardness readings can be compared at all: scale, dwell, cure, place and instrument."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import Finding, cannot_be_judged, listed
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.hardness")
_PLACE = (
    ("specimen_thickness", "thickness", "thinner than"),
    ("edge_distance", "edge", "nearer to an edge than"),
    ("spacing", "spacing", "readings closer together than"),
)


def comparability(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """Findings where the readings say nothing about the limit."""
    return [
        *_qualification(criteria),
        *_scales(criteria, readings),
        *_dwells(criteria, readings),
        *_references(criteria, readings),
    ]


def _qualification(criteria: Criteria) -> list[Finding]:
    """The qualified minimum holds for its own scale and cure schedule only."""
    if "qualified_min" not in criteria:
        return []
    scale, source = criteria.text("scale"), criteria.source("qualified_min")
    problems = []
    if criteria.text("qualified_scale", scale) != scale:
        problems.append(f"The qualification was measured on {criteria.text('qualified_scale')}.")
    if criteria.flag("same_cure_schedule") is False:
        problems.append("The qualification was measured after another cure schedule.")
    return [cannot_be_judged("hardness.qualification", text, source) for text in problems]


def _scales(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    asked = criteria.text("scale")
    other = [i for i, reading in enumerate(readings, 1) if reading.text("scale", asked) != asked]
    if not other:
        return []
    said = f"Reading {listed(other)}: not on the scale of the plan, {asked}."
    return [cannot_be_judged("hardness.scale", said, criteria.source("scale"))]


def _dwells(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    asked = criteria.quantity("dwell")
    if asked is None:
        return []
    table = _TABLES["dwell"]
    default = Quantity(Decimal(table["tolerance"]), table["unit"])
    tolerance = criteria.quantity("dwell_tolerance") or default
    source = criteria.source("dwell")
    if "dwell_tolerance" not in criteria:
        source += f"; tolerance {default}: {table['source']}"
    problems = (
        _dwell_problem(f"Reading {i}", reading.quantity("dwell"), asked, tolerance)
        for i, reading in enumerate(readings, 1)
    )
    return [cannot_be_judged("hardness.dwell", text, source) for text in problems if text]


def _dwell_problem(name: str, taken: Quantity | None, asked: Quantity, tolerance: Quantity) -> str:
    if taken is None:
        return f"{name}: the dwell is not stated; the plan asks for {asked}."
    away = abs(Fraction(taken.magnitude_in("s")) - Fraction(asked.magnitude_in("s")))
    if away <= tolerance.magnitude_in("s"):
        return ""
    return (
        f"{name}: read after {taken}, the plan asks for {asked} within {tolerance}; hardness "
        f"read after another dwell cannot be compared."
    )


def _references(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """A Barcol impressor that misses its reference block proves nothing."""
    if criteria.text("scale") != "barcol":
        return []
    table, off = _TABLES["reference"], []
    for number, reading in enumerate(readings, 1):
        stated, shown = reading.number("reference_stated"), reading.number("reference_measured")
        if stated is None or shown is None:
            continue
        if abs(Fraction(stated) - Fraction(shown)) > int(table["tolerance"]):
            off.append(number)
    if not off:
        return []
    said = f"Reading {listed(off)}: the instrument misses its reference block by more than "
    return [cannot_be_judged("hardness.reference", f"{said}{table['tolerance']}.", table["source"])]


def validity_flags(
    criteria: Criteria, readings: Sequence[Values], values: Sequence[Decimal]
) -> list[str]:
    """Conditions of the test method that were not kept; the value is then an apparent one."""
    scale = criteria.text("scale")
    method: str = criteria.text("test_method") or _TABLES["usual_method"][scale]
    figures = _TABLES["methods"][method]
    flags = _range_flags(scale, values)
    for name, key, said in _PLACE:
        flags += _place_flags(readings, name, figures.get(key), said, figures["source"])
    return [*flags, *_temperature_flags(readings)]


def _place_flags(
    readings: Sequence[Values], name: str, least: str | None, said: str, source: str
) -> list[str]:
    if least is None:
        return []
    limit = Quantity(Decimal(least), "mm")
    pairs = [(i, reading.quantity(name)) for i, reading in enumerate(readings, 1)]
    below = [i for i, distance in pairs if distance is not None and distance < limit]
    if not below:
        return []
    return [f"hardness.{name}: reading {listed(below)}: apparent value; {said} {limit} ({source})"]


def _temperature_flags(readings: Sequence[Values]) -> list[str]:
    table = _TABLES["laboratory"]
    middle, reach = Decimal(table["temperature"]), Decimal(table["tolerance"])
    low, high = Quantity(middle - reach, "degC"), Quantity(middle + reach, "degC")
    pairs = [(i, r.quantity("surface_temperature")) for i, r in enumerate(readings, 1)]
    outside = [i for i, taken in pairs if taken is not None and not low <= taken <= high]
    if not outside:
        return []
    return [
        f"hardness.temperature: reading {listed(outside)}: surface outside {middle} ± {reach} °C; "
        f"no standard corrects for it"
    ]


def _range_flags(scale: str, values: Sequence[Decimal]) -> list[str]:
    usable: dict[str, Any] | None = _TABLES["usable"].get(scale)
    if usable is None or not values:
        return []
    lowest, highest = usable.get("lowest"), usable.get("highest")
    if lowest is not None and min(values) < Decimal(lowest):
        bound = f"below {lowest}"
    elif highest is not None and max(values) > Decimal(highest):
        bound = f"above {highest}"
    else:
        return []
    return [
        f"hardness.range: a reading {bound} lies outside the usable range; use "
        f"{usable['instead']} ({usable['source']})"
    ]
