"""Filler for pits and for building up a pipe: volume, mass and kits."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from qc.engine.fields import Field, InvalidValue, Kind, Values
from qc.engine.formulas.circle import PI
from qc.engine.quantities import Dimension, Quantity
from qc.engine.take_off.estimate import (
    LOSS,
    TakeOff,
    is_us,
    length,
    mass,
    of_length,
    text,
    volume,
    whole,
    with_loss,
)

_SIDES = {"patch": ("length", "width", "depth"), "ring": ("diameter", "length", "depth")}
_MM3_IN_LITRE = 1_000_000


def _reckon(given: Values, path: str) -> Mapping[str, Any]:
    litres = _litres(given, path) * given.integer("count", 1)
    used = Quantity(with_loss(given, litres), "l")
    weight = _weight(given, used)
    by_mass, by_volume = given.quantity("kit_mass"), given.quantity("kit_volume")
    if by_mass and weight is None:
        raise InvalidValue(f"{path}.density", "is required to count kits by mass")
    us = is_us(given.quantity("length"))
    kits = whole(weight, by_mass) if weight and by_mass else whole(used, by_volume)
    return {
        "volume_in_place": str(Quantity(litres, "l").to("gal" if us else "l")),
        "volume": str(used.to("gal" if us else "l")),
        "mass": text(weight.to("lb" if us else "kg") if weight else None),
        "kits": kits,
    }


def _litres(given: Values, path: str) -> Fraction:
    shape = given.text("shape")
    for name in ("length", "width", "depth", "diameter"):
        if (name in given) is not (name in _SIDES[shape]):
            said = f"is no side of a {shape}" if name in given else f"is required for a {shape}"
            raise InvalidValue(f"{path}.{name}", said)
    depth, along = of_length(given, "depth"), of_length(given, "length")
    if shape == "patch":
        return depth * along * of_length(given, "width") / _MM3_IN_LITRE
    return PI * (of_length(given, "diameter") + depth) * depth * along / _MM3_IN_LITRE


def _weight(given: Values, used: Quantity) -> Quantity | None:
    density = given.quantity("density")
    if density is None:
        return None
    kilograms = Fraction(used.magnitude_in("l")) * Fraction(density.magnitude_in("kg/l"))
    return Quantity(kilograms, "kg")


FILLER = TakeOff(
    key="filler",
    title="Filler",
    given=(
        Field(
            name="shape",
            label="Shape",
            kind=Kind.CHOICE,
            choices=("patch", "ring"),
            labels={"patch": "length × width × depth", "ring": "all round a pipe"},
            required=True,
        ),
        length("length", "Length"),
        length("width", "Width", "of a patch, at its widest"),
        length("depth", "Depth", "of a patch at its deepest, or the thickness built up"),
        length("diameter", "Outside diameter", "of the pipe under a ring"),
        Field(name="count", label="How many", kind=Kind.INTEGER, minimum=Decimal(1)),
        LOSS,
        Field(
            name="density",
            label="Density of the mixed filler",
            dimension=Dimension.DENSITY,
            unit="kg/l",
            us_unit="kg/l",
            minimum=Decimal("0.1"),
            maximum=Decimal(20),
        ),
        mass("kit_mass", "A kit weighs"),
        volume("kit_volume", "A kit holds"),
    ),
    results=(
        volume("volume_in_place", "Volume in place"),
        volume("volume", "Volume to mix"),
        mass("mass", "Mass to mix"),
        Field(name="kits", label="Kits", kind=Kind.INTEGER),
    ),
    reckon=_reckon,
    basis=(
        "length × width × depth, which overestimates a rounded pit, or π (D + t) t L for a ring; "
        "divided by one less the loss"
    ),
)
