"""What one look at a laminate holds, and what is computed from all of them."""

from dataclasses import replace

from qc.engine.characteristics.laminate.criteria import CONFIRMED, FREE_OF, length
from qc.engine.fields import Field, Kind


def _asked(field: Field, *asked_by: str) -> Field:
    return replace(field, asked_by=asked_by)


def _answer(name: str, label: str, *asked_by: str) -> Field:
    return Field(name=name, label=label, kind=Kind.BOOLEAN, asked_by=asked_by)


def _capital(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}"


READING = (
    Field(name="location", label="Place", kind=Kind.TEXT, help="Distance and clock position"),
    _answer(
        "tap_tested",
        "Tapped all over",
        "free_of=delamination_at_ends",
        "delamination_max",
    ),
    *(
        _answer(name, f"{_capital(said)} found", f"free_of={name}")
        for name, said in FREE_OF.items()
    ),
    *(_answer(name, _capital(said), f"confirmed={name}") for name, said in CONFIRMED.items()),
    _answer("pits", "Foreign matter, blisters or pits found", "pit_width_max", "pit_height_max"),
    _asked(length("pit_widths", "Pits: widths", many=True), "pit_width_max"),
    _asked(length("pit_heights", "Pits: heights or depths", many=True), "pit_height_max"),
    _answer("wrinkles", "Wrinkles found", "wrinkle_max", "wrinkle_share_max"),
    _asked(
        length("wrinkle_steps", "Wrinkles: steps", many=True), "wrinkle_max", "wrinkle_share_max"
    ),
    _answer("delamination", "Delamination found away from the ends", "delamination_max"),
    _asked(
        length(
            "delamination_sizes", "Delamination: sizes", "The largest dimension of each", many=True
        ),
        "delamination_max",
    ),
    _asked(
        length("thickness", "Thickness", many=True),
        "thickness_min",
        "readings_min",
        "wrinkle_share_max",
    ),
    _asked(length("length", "Length of the repair", many=True), "length_min"),
    _asked(length("defect_size", "Substrate: size of the defect", many=True), "defect_max"),
    _asked(length("edge_radius", "Substrate: radius of edges", many=True), "edge_radius_min"),
    Field(
        name="remark",
        label="Remark",
        kind=Kind.TEXT,
        help="What was found and where",
        asked_by=(),
    ),
)

COMPUTED = (
    length("thickness_least", "Least thickness"),
    length("wrinkle_limit", "Step that the share of the thickness allows"),
    Field(name="thickness_readings", label="Readings of thickness", kind=Kind.INTEGER),
)
