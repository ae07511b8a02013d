"""What is asked of a hardness test and what is read."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic, decision_fields
from qc.engine.characteristics.hardness.rules import assess_hardness
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension

SCALES = ("shore_d", "shore_a", "barcol")
_SCALE_NAMES = {"shore_d": "Shore D", "shore_a": "Shore A", "barcol": "Barcol"}
_HIGHEST = Decimal(100)


def _hardness(name: str, label: str, help: str = "") -> Field:
    return Field(
        name=name,
        label=label,
        kind=Kind.NUMBER,
        minimum=Decimal(0),
        maximum=_HIGHEST,
        help=help,
    )


HARDNESS = Characteristic(
    key="hardness",
    title="Hardness",
    schema_version=1,
    criteria=(
        Field(
            name="scale",
            label="Scale",
            kind=Kind.CHOICE,
            choices=SCALES,
            labels=_SCALE_NAMES,
            required=True,
        ),
        _hardness("min", "Minimum hardness"),
        _hardness(
            "qualified_min",
            "Minimum found in qualification",
            "the limit is this figure times the fraction below",
        ),
        Field(
            name="fraction",
            label="Fraction of the qualified minimum",
            kind=Kind.NUMBER,
            minimum=Decimal("0.01"),
            maximum=Decimal(1),
            places=2,
            help="0.9 unless the plan says otherwise",
        ),
        Field(
            name="statistic",
            label="Compared with the limit",
            kind=Kind.CHOICE,
            choices=("mean", "median", "each"),
            labels={"each": "each reading"},
            help="mean unless the plan says otherwise",
        ),
        Field(
            name="readings_min", label="Readings, at least", kind=Kind.INTEGER, minimum=Decimal(1)
        ),
        Field(
            name="dwell",
            label="Dwell",
            dimension=Dimension.TIME,
            unit="s",
            minimum=Decimal(0),
            help="the time from contact to reading, the same as in the qualification",
        ),
        Field(
            name="dwell_tolerance",
            label="Tolerance of the dwell",
            dimension=Dimension.TIME,
            unit="s",
            minimum=Decimal(0),
        ),
        *decision_fields(),
    ),
    reading=(
        Field(
            name="values",
            label="Readings",
            kind=Kind.NUMBER,
            many=True,
            required=True,
            minimum=Decimal(0),
            maximum=_HIGHEST,
        ),
        Field(name="location", label="Location", kind=Kind.TEXT),
        Field(
            name="dwell",
            label="Dwell",
            dimension=Dimension.TIME,
            unit="s",
            minimum=Decimal(0),
        ),
        Field(
            name="surface_temperature",
            label="Surface temperature",
            dimension=Dimension.TEMPERATURE,
            unit="degC",
            us_unit="degF",
            minimum=Decimal(-60),
            maximum=Decimal(300),
        ),
    ),
    computed=(
        Field(name="mean", label="Mean", kind=Kind.NUMBER),
        Field(name="median", label="Median", kind=Kind.NUMBER),
        Field(name="lowest", label="Lowest", kind=Kind.NUMBER),
        Field(name="limit", label="Limit", kind=Kind.NUMBER),
    ),
    assess=assess_hardness,
    instruments=("durometer", "barcol_impressor", "stopwatch", "surface_thermometer"),
    method=(
        "Choose a smooth, undamaged and clean place, away from edges. Press the instrument square "
        "to the surface without shock, hold it for the dwell of the plan and read. Move at least "
        "6 mm (Barcol: 3 mm) for each further reading; never press twice in one place. Check the "
        "instrument on its reference block before and after. A curved or thin layer over steel "
        "reads differently from a laboratory specimen: compare with the qualification value or a "
        "witness coupon taken the same way. Record the surface temperature; nothing corrects for it."
    ),
    cautions=(
        "The surface may still be hot from curing.",
        "Uncured resin and hardener irritate skin: wear gloves.",
    ),
)
