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
_DWELL_TOLERANCE = Quantity(Decimal(_TABLES["dwell"]["tolerance"]), _TABLES["dwell"]["unit"])
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


def comparable(criteria: Criteria, readings: Sequence[Values]) -> list[tuple[int, Values]]:
    """The readings that say something about the limit, each with its number in the record.

    Figures of another scale or dwell, or of an instrument that misses its reference block, are
    not those the plan asks for: they are left out of count, mean, median and lowest alike.
    """
    left_out = {
        *_on_other_scale(criteria, readings),
        *_by_other_dwell(criteria, readings),
        *_off_reference(criteria, readings),
    }
    return [(n, reading) for n, reading in enumerate(readings, 1) if n not in left_out]


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
    other = _on_other_scale(criteria, readings)
    if not other:
        return []
    said = f"Reading {listed(other)}: not on the scale of the plan, {criteria.text('scale')}"
    return [cannot_be_judged("hardness.scale", f"{said}; left out.", criteria.source("scale"))]


def _on_other_scale(criteria: Criteria, readings: Sequence[Values]) -> list[int]:
    asked = criteria.text("scale")
    return [i for i, reading in enumerate(readings, 1) if reading.text("scale", asked) != asked]


def _dwells(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    source = criteria.source("dwell")
    if "dwell_tolerance" not in criteria:
        source += f"; tolerance {_DWELL_TOLERANCE}: {_TABLES['dwell']['source']}"
    return [
        cannot_be_judged("hardness.dwell", f"Reading {number}: {problem}", source)
        for number, problem in _by_other_dwell(criteria, readings).items()
    ]


def _by_other_dwell(criteria: Criteria, readings: Sequence[Values]) -> dict[int, str]:
    """Why the dwell of a reading is not the plan's, by its number."""
    asked = criteria.quantity("dwell")
    if asked is None:
        return {}
    tolerance = criteria.quantity("dwell_tolerance") or _DWELL_TOLERANCE
    problems = (
        (i, _dwell_problem(reading.quantity("dwell"), asked, tolerance))
        for i, reading in enumerate(readings, 1)
    )
    return {i: problem for i, problem in problems if problem}


def _dwell_problem(taken: Quantity | None, asked: Quantity, tolerance: Quantity) -> str:
    if taken is None:
        return f"the dwell is not stated; the plan asks for {asked}; left out."
    away = abs(Fraction(taken.magnitude_in("s")) - Fraction(asked.magnitude_in("s")))
    if away <= tolerance.magnitude_in("s"):
        return ""
    return (
        f"read after {taken}, the plan asks for {asked} within {tolerance}; hardness read after "
        "another dwell cannot be compared, and is left out."
    )


def _references(criteria: Criteria, readings: Sequence[Values]) -> list[Finding]:
    """A Barcol impressor that misses its reference block proves nothing."""
    off = _off_reference(criteria, readings)
    if not off:
        return []
    table = _TABLES["reference"]
    said = f"Reading {listed(off)}: the instrument misses its reference block by more than "
    said += f"{table['tolerance']}; left out."
    return [cannot_be_judged("hardness.reference", said, table["source"])]


def _off_reference(criteria: Criteria, readings: Sequence[Values]) -> list[int]:
    if criteria.text("scale") != "barcol":
        return []
    tolerance, off = int(_TABLES["reference"]["tolerance"]), []
    for number, reading in enumerate(readings, 1):
        stated, shown = reading.number("reference_stated"), reading.number("reference_measured")
        if stated is None or shown is None:
            continue
        if abs(Fraction(stated) - Fraction(shown)) > tolerance:
            off.append(number)
    return off


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
