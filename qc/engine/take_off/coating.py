"""Coating by the area: volume with losses, wet film and containers."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from qc.engine.fields import Field, Kind, Values
from qc.engine.quantities import Dimension, Quantity
from qc.engine.take_off.estimate import (
    LOSS,
    TakeOff,
    is_us,
    of_length,
    share_of,
    volume,
    whole,
    with_loss,
)


def _reckon(given: Values, path: str) -> Mapping[str, Any]:
    area, dry = given.quantity("area"), given.quantity("dry_film")
    solids = share_of(given, "volume_solids")
    square_metres = Fraction(area.magnitude_in("m2")) if area else Fraction(0)
    # A micrometre over a square metre is a millilitre.
    one_coat = square_metres * of_length(given, "dry_film", "um") / solids / 1000
    film = one_coat * given.integer("coats", 1)
    used = Quantity(with_loss(given, film), "l")
    unit = "gal" if is_us(area) else "l"
    wet = Quantity(Fraction(dry.magnitude) / solids, dry.unit) if dry else None
    return {
        "volume_in_place": str(Quantity(film, "l").to(unit)),
        "volume": str(used.to(unit)),
        "wet_film": str(wet),
        "containers": whole(used, given.quantity("container")),
    }


def _film(name: str, label: str, required: bool = False) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="um",
        us_unit="mil",
        minimum=Decimal(1),
        maximum=Decimal(100_000),
        required=required,
    )


COATING = TakeOff(
    key="coating",
    title="Coating",
    given=(
        Field(
            name="area",
            label="Area",
            dimension=Dimension.AREA,
            unit="m2",
            us_unit="ft2",
            minimum=Decimal("0.001"),
            required=True,
        ),
        _film("dry_film", "Dry film of one coat", required=True),
        Field(
            name="volume_solids",
            label="Volume solids",
            dimension=Dimension.SHARE,
            unit="%",
            minimum=Decimal(1),
            maximum=Decimal(100),
            required=True,
        ),
        Field(
            name="coats",
            label="Coats",
            kind=Kind.INTEGER,
            minimum=Decimal(1),
            maximum=Decimal(20),
            help="1 unless stated",
        ),
        LOSS,
        volume("container", "A container holds"),
    ),
    results=(
        volume("volume_in_place", "Wet volume on the surface"),
        volume("volume", "Volume to mix"),
        _film("wet_film", "Wet film of one coat"),
        Field(name="containers", label="Containers", kind=Kind.INTEGER),
    ),
    reckon=_reckon,
    basis=(
        "area × dry film / volume solids for each coat, divided by one less the loss; what fills "
        "the profile of the steel and thinner are not reckoned in"
    ),
)
