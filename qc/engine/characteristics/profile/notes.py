"""What the record should say beside a verdict on profile, without changing it."""

from collections.abc import Sequence
from decimal import Decimal

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.profile.locations import Location
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import listed
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.profile")


def notes(
    criteria: Criteria, readings: Sequence[Values], locations: Sequence[Location]
) -> list[str]:
    """Flags on the standard of the method, its range, and curved surfaces."""
    flags = [flag for place in locations for flag in place.flags]
    standard = criteria.text("standard")
    if standard in _TABLES["withdrawn"]:
        flags.append(f"profile.standard: {_TABLES['withdrawn'][standard]}")
    flags += _out_of_range(standard, locations)
    curved = [i for i, reading in enumerate(readings, 1) if reading.flag("curved")]
    if curved and criteria.text("method") == "depth_micrometer":
        flags.append(
            f"profile.curved: reading {listed(curved)}: on a curved surface a depth micrometer "
            f"scatters more and reads lower on average (ASTM D4417-19, note 1)"
        )
    return flags


def _out_of_range(standard: str, locations: Sequence[Location]) -> list[str]:
    figures = _TABLES["range"].get(standard)
    if figures is None:
        return []
    low, high = (Quantity(Decimal(figure), _TABLES["range"]["unit"]) for figure in figures)
    outside = [p.name for p in locations if any(not low <= value <= high for value in p.values)]
    if not outside:
        return []
    return [f"profile.range: {listed(outside)}: outside {low} to {high}, the range of the method"]
