"""What a reading of hardness holds, and what is computed from the readings."""

from dataclasses import replace
from decimal import Decimal

from qc.engine.characteristics.hardness.criteria import PENCILS, hardness, scale, seconds
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension

_FIGURES = ("scale=shore_d", "scale=shore_a", "scale=barcol")
_BARCOL = ("scale=barcol",)


def _millimetres(name: str, label: str) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="mm",
        us_unit="in",
        minimum=Decimal(0),
        maximum=Decimal(10_000),
        asked_by=("test_method",),
    )


READING = (
    Field(name="location", label="Location", kind=Kind.TEXT),
    Field(
        name="values",
        label="Readings",
        kind=Kind.NUMBER,
        many=True,
        minimum=Decimal(0),
        maximum=Decimal(100),
        asked_by=_FIGURES,
        usual=5,
    ),
    Field(
        name="grades",
        label="Hardest grade without a mark",
        kind=Kind.CHOICE,
        choices=PENCILS,
        many=True,
        asked_by=("scale=pencil",),
        usual=2,
        usual_by="readings_min",
    ),
    replace(seconds("dwell", "Dwell"), asked_by=("dwell",)),
    Field(
        name="surface_temperature",
        label="Surface temperature",
        dimension=Dimension.TEMPERATURE,
        unit="degC",
        us_unit="degF",
        minimum=Decimal(-60),
        maximum=Decimal(300),
        asked_by=(),
    ),
    replace(scale("scale", "Scale of the instrument"), asked_by=("test_method",)),
    _millimetres("specimen_thickness", "Thickness under the point"),
    _millimetres("edge_distance", "Distance from the nearest edge"),
    _millimetres("spacing", "Distance between readings"),
    replace(hardness("reference_stated", "Reference block: stated"), asked_by=_BARCOL),
    replace(hardness("reference_measured", "Reference block: measured"), asked_by=_BARCOL),
)

COMPUTED = (
    Field(name="mean", label="Mean", kind=Kind.NUMBER),
    Field(name="median", label="Median", kind=Kind.NUMBER),
    Field(name="lowest", label="Lowest", kind=Kind.NUMBER),
    Field(name="limit", label="Limit", kind=Kind.NUMBER),
    Field(name="lowest_grade", label="Lowest pencil grade", kind=Kind.TEXT),
)
