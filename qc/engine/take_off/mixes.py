"""Mixes that can be used up within the pot life."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Any

from qc.engine.fields import Field, InvalidValue, Kind, Values
from qc.engine.formulas.elapsed import hours_of
from qc.engine.formulas.pot_life import PotLife, pot_life
from qc.engine.quantities import Dimension, Quantity
from qc.engine.take_off.estimate import TakeOff

_KINDS = (Dimension.MASS, Dimension.VOLUME)


def _reckon(given: Values, path: str) -> Mapping[str, Any]:
    amount, most = _amount(given, "amount", path), given.quantity("mix_max")
    life = _pot_life(given, path)
    usable = _usable_hours(given, life, path)
    work = _hours(given, "work_time")
    mixes = max(1, ceil(work / usable), _by_size(amount, most, path))
    return {
        "pot_life": str(Quantity(life.hours * 60, "min")),
        "pot_life_by_halving": life.estimated,
        "usable": str(Quantity(usable * 60, "min")),
        "mixes": mixes,
        "mix_size": str(Quantity(Fraction(amount.magnitude) / mixes, amount.unit)),
        "time_each": str(Quantity(work * 60 / mixes, "min")),
    }


def _amount(given: Values, name: str, path: str) -> Quantity:
    amount = given.quantity(name)
    if amount is None or amount.dimension not in _KINDS or not amount.magnitude:
        raise InvalidValue(f"{path}.{name}", "is no mass and no volume above zero, as 2.5 kg")
    return amount


def _by_size(amount: Quantity, most: Quantity | None, path: str) -> int:
    if most is None:
        return 1
    if most.dimension is not amount.dimension or not most.magnitude:
        said = f"{most} is not above zero and of the kind of the amount, {amount}"
        raise InvalidValue(f"{path}.mix_max", said)
    return ceil(Fraction(amount.magnitude_in(most.unit)) / Fraction(most.magnitude))


def _pot_life(given: Values, path: str) -> PotLife:
    """That at the temperature of the material."""
    rows = [(Fraction(at.magnitude_in("degC")), hours_of(t)) for at, t in given.table("pot_life")]
    temperature = given.quantity("material_temperature")
    if not rows or temperature is None:
        raise InvalidValue(f"{path}.pot_life", "is required, as a table of at least one row")
    return pot_life(rows, Fraction(temperature.magnitude_in("degC")))


def _usable_hours(given: Values, life: PotLife, path: str) -> Fraction:
    """What of the pot life is left after what passes before the first use."""
    usable = life.hours - _hours(given, "lost_time")
    if usable <= 0:
        raise InvalidValue(f"{path}.lost_time", "leaves nothing of the pot life to work in")
    return usable


def _hours(given: Values, name: str) -> Fraction:
    time = given.quantity(name)
    return hours_of(time) if time else Fraction(0)


def _time(name: str, label: str, help: str = "", required: bool = False) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TIME,
        unit="min",
        minimum=Decimal(0),
        help=help,
        required=required,
    )


MIXES = TakeOff(
    key="mixes",
    title="Mixes within the pot life",
    given=(
        Field(
            name="amount",
            label="Amount to mix",
            unit="kg",
            us_unit="lb",
            required=True,
            help="a mass or a volume, losses included",
        ),
        _time("work_time", "Time to use all of it", "by the crew that is there", required=True),
        Field(
            name="pot_life",
            label="Pot life by temperature",
            kind=Kind.TABLE,
            dimension=Dimension.TEMPERATURE,
            unit="degC",
            us_unit="degF",
            required=True,
            help="one row: other temperatures are estimated by halving each 10 degC (18 degF)",
        ),
        Field(
            name="material_temperature",
            label="Temperature of the material",
            dimension=Dimension.TEMPERATURE,
            unit="degC",
            us_unit="degF",
            minimum=Decimal(-60),
            maximum=Decimal(200),
            required=True,
        ),
        _time("lost_time", "Passes before the first use", "mixing, induction, the way; none"),
        Field(
            name="mix_max",
            label="Largest mix",
            unit="kg",
            us_unit="lb",
            help="a kit, or the most that the data sheet allows: a large mix heats up",
        ),
    ),
    results=(
        _time("pot_life", "Pot life at that temperature"),
        Field(name="pot_life_by_halving", label="Estimated by halving", kind=Kind.BOOLEAN),
        _time("usable", "Usable of the pot life"),
        Field(name="mixes", label="Mixes", kind=Kind.INTEGER),
        Field(name="mix_size", label="Size of a mix", unit="kg", us_unit="lb"),
        _time("time_each", "Time to use one"),
    ),
    reckon=_reckon,
    basis=(
        "the work divided by what is left of the pot life, or the amount by the largest mix, "
        "whichever makes more mixes; rounded up"
    ),
)
