"""What a reader of the record should know beside the verdict."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.ambient.air import ICE_POINT, Reading
from qc.engine.characteristics.ambient.uncertainty import PARTS, unstated
from qc.engine.fields import Values
from qc.engine.quantities import Quantity
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.ambient")
_PART_NAMES = {
    "air": "the air temperature",
    "humidity": "the humidity",
    "wet_bulb": "the wet bulb",
    "steel": "the steel temperature",
}
_ON_THE_LIMIT_K = Fraction(_TABLES["margin"]["on_the_limit_k"])


def flags(criteria: Criteria, readings: Sequence[Reading]) -> tuple[str, ...]:
    """Each flag once, in the order of the readings that raise it."""
    found = [flag for reading in readings for flag in _of_reading(criteria, reading)]
    return tuple(dict.fromkeys(found))


def _of_reading(criteria: Criteria, reading: Reading) -> list[str]:
    given = reading.given
    raised = {
        "on_the_limit": _is_on_the_limit(criteria, reading),
        "condensation_possible": _may_be_wet(reading),
        "ice_possible": any(spot <= ICE_POINT for spot in given.quantities("steel")),
        **_of_psychrometer(criteria, given),
    }
    found = [flag for flag, is_raised in raised.items() if is_raised]
    return [*found, *_of_uncertainty(criteria, reading)]


def _of_uncertainty(criteria: Criteria, reading: Reading) -> list[str]:
    """Where the uncertainty of the margin lacks a part, unless the plan states it as a whole."""
    lacking = unstated(criteria, reading)
    if reading.margin is None or "margin_min" not in criteria:
        return []
    if "expanded_uncertainty" in criteria or len(lacking) in (0, PARTS):
        return []
    named = " and ".join(_PART_NAMES[name] for name in lacking)
    return [f"ambient.margin: uncertainty without that of {named}, which the plan does not state"]


def _is_on_the_limit(criteria: Criteria, reading: Reading) -> bool:
    limit, margin = criteria.quantity("margin_min"), reading.margin
    if limit is None or margin is None:
        return False
    least = Fraction(limit.magnitude_in("delta_degC"))
    return abs(Fraction(margin.magnitude) - least) < _ON_THE_LIMIT_K


def _may_be_wet(reading: Reading) -> bool:
    """True where the coldest steel is no warmer than its dew or frost point."""
    margin = reading.margin
    return margin is not None and margin.magnitude <= 0


def _of_psychrometer(criteria: Criteria, given: Values) -> dict[str, bool]:
    wet = given.quantity("wet_bulb")
    if wet is None:
        return {}
    return {
        "ice_bulb_assumed": wet < ICE_POINT and "bulb" not in given,
        "pressure_from_altitude": "pressure" not in given and "altitude" in given,
        "outside_test_method_range": _outside_range(criteria.text("wet_bulb_method"), given, wet),
    }


def _outside_range(method: str, given: Values, wet: Quantity) -> bool:
    """Beyond what ASTM E337 covers, where the plan names one of its methods."""
    dry, pressure = given.quantity("air"), given.quantity("pressure")
    if not method or dry is None:
        return False
    table: dict[str, Any] = _TABLES["astm_e337"]
    least, most = (Quantity(Decimal(v), "degC") for v in table[method])
    outside = not least <= dry <= most or wet < Quantity(Decimal(table["wet_bulb_min"]), "degC")
    if pressure is None:
        return outside
    low, high = (Quantity(Decimal(v), "hPa") for v in table["pressure"])
    return outside or not low <= pressure <= high
