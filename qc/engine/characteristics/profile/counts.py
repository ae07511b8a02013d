"""How many locations and readings a plan asks for, and whether they were taken."""

from collections.abc import Sequence
from math import ceil

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.profile.locations import Location
from qc.engine.quantities import Quantity
from qc.engine.rules import Finding, enough_readings
from qc.engine.standards.tables import load_tables

_TABLE = load_tables("qc.engine.characteristics.profile")["locations"]


def locations_by_area(area: Quantity, failing: int = 0) -> int:
    """Three locations up to 100 m2 (1000 ft2), one for each further 100 m2 or part, and two more
    for each that fails. The unit of `area` chooses between the two systems."""
    system = _TABLE["us" if area.unit == "ft2" else "metric"]
    beyond = max(0, area.magnitude_in(system["unit"]) - int(system["first"]))
    further = ceil(beyond / int(system["step"])) * int(_TABLE["further"])
    return int(_TABLE["least"]) + further + failing * int(_TABLE["for_each_failing"])


def count_findings(
    criteria: Criteria, locations: Sequence[Location], failing: int
) -> list[Finding]:
    """Enough locations, the greater of what the area and the plan ask for, and enough at each."""
    fewest = min(locations, key=lambda place: place.count)
    which = ", which has the fewest" if len(locations) > 1 else ""
    noun = f"readings at {fewest.name}{which}"
    return [
        _enough_locations(criteria, len(locations), failing),
        criteria.enough("readings_min", "profile.readings", fewest.count, noun),
    ]


def _enough_locations(criteria: Criteria, count: int, failing: int) -> Finding:
    area, rule = criteria.quantity("area"), "profile.locations"
    by_area = locations_by_area(area, failing) if area else 0
    if by_area < criteria.integer("locations_min", 1):
        return criteria.enough("locations_min", rule, count, "locations")
    return enough_readings(rule, count, by_area, noun="locations", source=_TABLE["source"])
