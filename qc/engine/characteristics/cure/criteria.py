"""What a plan may not ask of a cure."""

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.cure.measures import AGE_MODES, mode_of
from qc.engine.fields import InvalidValue
from qc.engine.quantities import Dimension, Quantity

_LONGEST = Quantity.parse("366 day")


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue where a table, an age or an activation temperature makes no sense."""
    _check_table(criteria, path)
    _check_age(criteria, path)
    activation = criteria.quantity("activation_temperature")
    if activation is not None and activation.unit != "K":
        problem = f"{activation} is not in K, as E/R is given"
        raise InvalidValue(f"{path}.activation_temperature", problem)


def _check_table(criteria: Criteria, path: str) -> None:
    rows = criteria.table("table")
    for at, time in rows:
        if time.magnitude <= 0 or time > _LONGEST:
            problem = f"{time} at {at} is no cure time; it lies above 0 and up to {_LONGEST}"
            raise InvalidValue(f"{path}.table", problem)
    for (cold, longer), (hot, shorter) in zip(rows, rows[1:], strict=False):
        if shorter > longer:
            problem = f"{shorter} at {hot} is longer than {longer} at {cold}"
            raise InvalidValue(f"{path}.table", problem)


def _check_age(criteria: Criteria, path: str) -> None:
    least = criteria.quantity("age_min")
    if least is None:
        return
    asked = AGE_MODES.get(mode_of(criteria))
    allowed = (asked,) if asked else tuple(AGE_MODES.values())
    if least.dimension not in allowed or least.magnitude <= 0:
        units = {Dimension.TIME: "hour", Dimension.TEMPERATURE_TIME: "degC_hour"}
        examples = " or ".join(units[dimension] for dimension in allowed)
        problem = f"{least} is no age above 0 in a unit such as {examples}"
        raise InvalidValue(f"{path}.age_min", problem)
