"""How many tests of a prepared surface UFGS 09970 to 09973 ask for on an area."""

from enum import StrEnum
from math import ceil

from qc.engine.quantities import Quantity
from qc.engine.standards.tables import load_tables

_TABLE = load_tables("qc.engine.standards")["places_by_area"]


class Prepared(StrEnum):
    """What of the prepared surface is tested; each has a step of its own."""

    PROFILE = "profile"
    SALTS = "salts"

    @property
    def source(self) -> str:
        """Where the number comes from."""
        return str(_TABLE[self]["source"])


def places_by_area(prepared: Prepared, area: Quantity, failing: int = 0) -> int:
    """Three tests up to 100 m2 (1000 ft2) and one for each further step or part of it.

    The step is 100 m2 (1000 ft2) for the profile and 200 m2 (2000 ft2) for salts; the unit of
    `area` chooses between the two systems. Two more for each of the `failing` profile tests.
    """
    table = _TABLE[prepared]
    system = table["us" if area.unit == "ft2" else "metric"]
    beyond = max(0, area.magnitude_in(system["unit"]) - int(system["first"]))
    more = ceil(beyond / int(system["step"])) + failing * int(table["for_each_failing"])
    return int(_TABLE["least"]) + more
