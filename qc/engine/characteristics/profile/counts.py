"""How many locations and readings a plan asks for, and whether they were taken."""

from collections.abc import Sequence

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.profile.locations import Location
from qc.engine.rules import Finding, enough_readings
from qc.engine.standards.places_by_area import Prepared, places_by_area


def count_findings(
    criteria: Criteria, locations: Sequence[Location], failing: int
) -> list[Finding]:
    """Enough locations, the greater of what the area and the plan ask for, and enough at each."""
    fewest = min(locations, key=lambda place: place.count)
    which = ", which has the fewest" if len(locations) > 1 else ""
    where = f"at {fewest.name}{which}"
    return [
        _enough_locations(criteria, len(locations), failing),
        criteria.enough("readings_min", "profile.readings", fewest.count, which=where),
    ]


def _enough_locations(criteria: Criteria, count: int, failing: int) -> Finding:
    area, rule = criteria.quantity("area"), "profile.locations"
    by_area = places_by_area(Prepared.PROFILE, area, failing) if area else 0
    if by_area < criteria.integer("locations_min", 1):
        return criteria.enough("locations_min", rule, count, "location")
    return enough_readings(rule, count, by_area, noun="location", source=Prepared.PROFILE.source)
