"""SSPC-PA 17: mapping outwards from a location that does not conform."""

from collections.abc import Sequence

from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.rules import Finding, Limit, MappedPlace, Outcome, mapping_findings
from qc.engine.standards.tables import load_tables

_MAPPING = load_tables("qc.engine.characteristics.profile")["mapping"]
_RULE = "profile.mapping"


def mapped(
    limits: Sequence[Limit], places: Sequence[tuple[Values, Quantity | None]]
) -> list[Finding]:
    """Findings on the extent around each location that readings map.

    `places` are these readings with what their place comes to, None where it cannot be judged or
    the surface left no room for one.
    """
    way = [
        MappedPlace(
            around=reading.text("maps"),
            direction=reading.text("direction"),
            conforms=value is None or _conforms(limits, value),
            ends=reading.flag("surface_ends") is True,
            measured=value is not None,
        )
        for reading, value in places
        if value is not None or leaves_no_room(reading)
    ]
    directions, source = int(_MAPPING["directions"]), _MAPPING["source"]
    return mapping_findings(_RULE, way, directions, source, in_each=True)


def leaves_no_room(reading: Values) -> bool:
    """True for a reading that says no more than that the surface ends in its direction."""
    seen = reading.given & {"values", "grade", "segment"}
    return "maps" in reading and reading.flag("surface_ends") is True and not seen


def _conforms(limits: Sequence[Limit], value: Quantity) -> bool:
    return all(limit.judge(value).outcome is Outcome.CONFORMS for limit in limits)


def not_mapped(failing: Sequence[str], readings: Sequence[Values]) -> list[str]:
    """The `failing` locations around which no reading has gone outwards yet."""
    begun = {reading.text("maps").casefold() for reading in readings}
    return [name for name in failing if name.casefold() not in begun]


def mapping_task(names: Sequence[str]) -> str:
    """What to do where these locations fail and have not been mapped."""
    return (
        f"{_RULE}: map {', '.join(names)}: go out in {_MAPPING['directions']} directions at "
        f"regular intervals until two locations in a row conform or the surface ends "
        f"({_MAPPING['source']})"
    )
