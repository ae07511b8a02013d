"""SSPC-PA 2: spots that map a nonconforming area, judged without the allowance for spots."""

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.thickness.limits import thickness_limit
from qc.engine.characteristics.thickness.measured import Measured, Taken
from qc.engine.quantities import Quantity
from qc.engine.rules import Bound, Finding, MappedPlace, Outcome, mapping_findings
from qc.engine.standards.tables import load_tables

_MAPPING = load_tables("qc.engine.characteristics.thickness")["pa2"]["mapping"]
_RULE = "thickness.pa2.mapping"


def mapped(criteria: Criteria, taken: Taken, spots: Measured) -> list[Finding]:
    """Findings on the extent of the area around each spot that readings map."""
    means = spots.means
    places = [
        MappedPlace(
            around=reading.text("maps"),
            direction=reading.text("direction"),
            conforms=_conforms(criteria, Quantity(means.value(i), means.unit)),
            ends=reading.flag("surface_ends") is True,
        )
        for i, reading in enumerate(taken.readings)
    ]
    return mapping_findings(_RULE, places, int(_MAPPING["directions"]), _MAPPING["source"])


def _conforms(criteria: Criteria, spot: Quantity) -> bool:
    limits = (
        thickness_limit(criteria, "min", _RULE, "Thickness of the spot", Bound.AT_LEAST),
        thickness_limit(criteria, "max", _RULE, "Thickness of the spot", Bound.AT_MOST),
    )
    return all(limit.judge(spot).outcome is Outcome.CONFORMS for limit in limits if limit)


def mapping_task() -> str:
    """What to do where an area fails and has not been mapped."""
    return (
        f"{_RULE}: map each failing area: spots {_MAPPING['spacing']} apart going out in all "
        f"directions until two in a row lie within the specified range, without the allowance for "
        f"spots, or the surface ends; record the extent ({_MAPPING['source']})"
    )
