"""What a take-off is: what has to be given, what is reckoned from it, and on what basis."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Any

from qc.engine.fields import Field, Values
from qc.engine.quantities import Dimension, Quantity

CAUTION = (
    "An estimate for planning: the design of the repair and the product data sheet decide, and "
    "a site wastes more than a table knows."
)
_US_UNITS = ("mil", "in", "ft", "ft2")


@dataclass(frozen=True, kw_only=True)
class TakeOff:
    """One estimate. `reckon` takes the given values, and the path under which InvalidValue names
    what is missing; it returns the declared results, JSON types only, and None for what was not
    asked. `basis` says in a line how it is reckoned."""

    key: str
    title: str
    given: tuple[Field, ...]
    results: tuple[Field, ...]
    reckon: Callable[[Values, str], Mapping[str, Any]]
    basis: str


def length(name: str, label: str, help: str = "", required: bool = False) -> Field:
    """A field that holds a length above zero."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="mm",
        us_unit="in",
        minimum=Decimal("0.001"),
        maximum=Decimal(10_000_000),
        help=help,
        required=required,
    )


def volume(name: str, label: str, help: str = "") -> Field:
    """A field that holds a volume above zero."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.VOLUME,
        unit="l",
        us_unit="gal",
        minimum=Decimal("0.000001"),
        help=help,
        places=3,
    )


def mass(name: str, label: str, help: str = "") -> Field:
    """A field that holds a mass above zero."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.MASS,
        unit="kg",
        us_unit="lb",
        minimum=Decimal("0.000001"),
        help=help,
        places=3,
    )


def share(name: str, label: str, maximum: int, help: str = "", required: bool = False) -> Field:
    """A field that holds a share in per cent."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.SHARE,
        unit="%",
        minimum=Decimal(0),
        maximum=Decimal(maximum),
        help=help,
        required=required,
    )


LOSS = share(
    "loss",
    "Loss",
    95,
    "the share of what is used that does not end up in the repair; none unless stated",
)


def share_of(given: Values, name: str, default: int = 0) -> Fraction:
    """A share of `given` as a fraction of one."""
    stated = given.quantity(name)
    return Fraction(default, 100) if stated is None else Fraction(stated.magnitude_in("%")) / 100


def with_loss(given: Values, amount: Fraction) -> Fraction:
    """What has to be bought so that `amount` is left after the loss: amount / (1 - loss)."""
    return amount / (1 - share_of(given, "loss"))


def of_length(given: Values, name: str, unit: str = "mm") -> Fraction:
    """A length of `given`, which is required, in `unit`."""
    found = given.quantity(name)
    return Fraction(found.magnitude_in(unit)) if found else Fraction(0)


def is_us(quantity: Quantity | None) -> bool:
    """Whether it was given in a US unit, so that results are too."""
    return quantity is not None and quantity.unit in _US_UNITS


def whole(needed: Quantity, each: Quantity | None) -> int | None:
    """How many of `each`, a package, hold `needed`; None where no package is given."""
    if each is None:
        return None
    return ceil(Fraction(needed.magnitude_in(each.unit)) / Fraction(each.magnitude))


def text(quantity: Quantity | None) -> str | None:
    """As results hold it."""
    return str(quantity) if quantity else None
