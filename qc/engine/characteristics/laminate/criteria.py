"""What a plan may ask of a finished laminate, and of the substrate before it."""

from decimal import Decimal

from qc.engine.characteristic import decision_fields
from qc.engine.fields import Field, Kind, with_defaults
from qc.engine.quantities import Dimension
from qc.engine.standards.tables import load_tables

TABLES = load_tables("qc.engine.characteristics.laminate")
FREE_OF: dict[str, str] = TABLES["free_of"]
CONFIRMED: dict[str, str] = TABLES["confirmed"]


def length(name: str, label: str, help: str = "", many: bool = False) -> Field:
    """A field that holds one length or several, in mm or in."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="mm",
        us_unit="in",
        minimum=Decimal(0),
        maximum=Decimal(100_000),
        help=help,
        many=many,
    )


def _several(name: str, label: str, choices: dict[str, str]) -> Field:
    return Field(
        name=name,
        label=label,
        kind=Kind.CHOICE,
        choices=tuple(choices),
        labels=choices,
        many=True,
    )


CRITERIA = with_defaults(
    (
        _several("free_of", "The laminate is free of", FREE_OF),
        _several("confirmed", "The laminate shows", CONFIRMED),
        length("pit_width_max", "Foreign matter, blisters, pits: width, at most"),
        length("pit_height_max", "Foreign matter, blisters, pits: height, at most"),
        length("wrinkle_max", "Wrinkles: step, at most"),
        Field(
            name="wrinkle_share_max",
            label="Wrinkles: step as a share of the thickness, at most",
            dimension=Dimension.SHARE,
            unit="%",
            minimum=Decimal(0),
            maximum=Decimal(100),
            help="beside the step, the lesser decides",
        ),
        length("delamination_max", "Delamination elsewhere: size, at most", "by the design"),
        length("thickness_min", "Thickness of the design", "every reading at least"),
        Field(
            name="readings_min",
            label="Readings of thickness, at least",
            kind=Kind.INTEGER,
            minimum=Decimal(1),
            maximum=Decimal(1000),
        ),
        length("length_min", "Length of the repair, as designed, at least"),
        length("defect_max", "Substrate: size of the defect, at most", "as designed for"),
        length("edge_radius_min", "Substrate: radius of eased edges, at least"),
        *decision_fields(Dimension.LENGTH, "mm"),
    ),
    TABLES["defaults"],
)
