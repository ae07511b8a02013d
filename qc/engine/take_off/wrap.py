"""Wrap in a spiral: passes, length of tape and rolls."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Any

from qc.engine.fields import Field, InvalidValue, Kind, Values
from qc.engine.formulas.circle import PI
from qc.engine.formulas.repair_extent import layers_everywhere
from qc.engine.quantities import Quantity
from qc.engine.take_off.estimate import (
    LOSS,
    TakeOff,
    is_us,
    length,
    of_length,
    share,
    share_of,
    whole,
    with_loss,
)

_USUAL_OVERLAP = 50
_MM_IN_METRE = 1000


def _reckon(given: Values, path: str) -> Mapping[str, Any]:
    overlap = share_of(given, "overlap", _USUAL_OVERLAP)
    each = layers_everywhere(1, overlap)
    passes = ceil(Fraction(given.integer("layers"), each))
    built = passes * each * of_length(given, "ply_thickness")
    round_it = PI * (of_length(given, "diameter") + built)
    turns = of_length(given, "length") / (of_length(given, "tape_width") * (1 - overlap))
    turns = max(Fraction(1), turns) + given.integer("end_turns", 0)
    used = Quantity(with_loss(given, passes * turns * round_it) / _MM_IN_METRE, "m")
    roll, us = given.quantity("roll_length"), is_us(given.quantity("length"))
    if roll and roll < Quantity(round_it, "mm"):
        raise InvalidValue(f"{path}.roll_length", f"{roll} do not go once round the pipe")
    return {
        "passes": passes,
        "layers": passes * each,
        "thickness": str(Quantity(built, "mm")) if built else None,
        "tape": str(used.to("ft" if us else "m")),
        "rolls": whole(used, roll),
    }


def _count(name: str, label: str, least: int, help: str = "", required: bool = False) -> Field:
    return Field(
        name=name,
        label=label,
        kind=Kind.INTEGER,
        minimum=Decimal(least),
        maximum=Decimal(500),
        help=help,
        required=required,
    )


WRAP = TakeOff(
    key="wrap",
    title="Wrap",
    given=(
        length("diameter", "Outside diameter", "over filler and pad", required=True),
        length("length", "Length of the wrap along the pipe", required=True),
        _count("layers", "Layers of the design", 1, required=True),
        length("tape_width", "Width of the tape", required=True),
        share("overlap", "Overlap of the turns", 90, "of the width; 50 % unless stated"),
        length("ply_thickness", "Thickness of a layer", "for the girth that grows"),
        _count("end_turns", "Straight turns at the ends", 0, "of each pass; none unless stated"),
        length("roll_length", "Length of a roll"),
        LOSS,
    ),
    results=(
        _count("passes", "Passes", 1),
        _count("layers", "Layers laid", 1),
        length("thickness", "Thickness laid"),
        length("tape", "Length of tape"),
        _count("rolls", "Rolls", 1),
    ),
    reckon=_reckon,
    basis=(
        "passes by the layers that a spiral has everywhere; turns of width × (1 - overlap) over "
        "the length, at the girth over the full build; divided by one less the loss"
    ),
)
