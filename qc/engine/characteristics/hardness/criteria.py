"""What a plan may ask of a hardness test, and which demands make no sense together."""

from decimal import Decimal

from qc.engine.characteristic import Criteria, decision_fields
from qc.engine.fields import Field, InvalidValue, Kind
from qc.engine.quantities import Dimension
from qc.engine.standards.tables import load_tables

_TABLES = load_tables("qc.engine.characteristics.hardness")
PENCILS: tuple[str, ...] = tuple(_TABLES["pencil"]["grades"])
SCALES = ("shore_d", "shore_a", "barcol", "pencil")
_SCALE_NAMES = {"shore_d": "Shore D", "shore_a": "Shore A", "barcol": "Barcol"}
_METHOD_NAMES = {
    "astm-d2240": "ASTM D2240",
    "iso868": "ISO 868",
    "iso48-4": "ISO 48-4",
    "astm-d2583": "ASTM D2583",
    "en59": "EN 59",
    "iso15184": "ISO 15184",
}


def hardness(name: str, label: str, help: str = "", many: bool = False) -> Field:
    """A field that holds a figure of a scale from 0 to 100."""
    return Field(
        name=name,
        label=label,
        kind=Kind.NUMBER,
        minimum=Decimal(0),
        maximum=Decimal(100),
        many=many,
        help=help,
    )


def scale(name: str, label: str, required: bool = False) -> Field:
    """A field that names a scale."""
    return Field(
        name=name,
        label=label,
        kind=Kind.CHOICE,
        choices=SCALES,
        labels=_SCALE_NAMES,
        required=required,
    )


def seconds(name: str, label: str, help: str = "") -> Field:
    """A field that holds a dwell."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TIME,
        unit="s",
        minimum=Decimal(0),
        maximum=Decimal(3600),
        help=help,
    )


_TEST_METHOD = Field(
    name="test_method",
    label="Test method",
    kind=Kind.CHOICE,
    choices=tuple(_TABLES["methods"]),
    labels=_METHOD_NAMES,
    help="where stated, it asks for its number of readings",
)

_FRACTION = Field(
    name="fraction",
    label="Fraction of the qualified minimum",
    kind=Kind.NUMBER,
    minimum=Decimal("0.01"),
    maximum=Decimal(1),
    places=2,
    help="0.9 unless the plan says otherwise",
)

_STATISTIC = Field(
    name="statistic",
    label="Compared with the limit",
    kind=Kind.CHOICE,
    choices=("mean", "median", "each"),
    labels={"each": "each reading"},
    help="mean unless the plan says otherwise",
)

_MATERIAL = Field(
    name="material",
    label="Material (Barcol)",
    kind=Kind.CHOICE,
    choices=("reinforced", "homogeneous"),
    help="where stated, it asks for the number of readings of ASTM D2583",
)

CRITERIA = (
    scale("scale", "Scale", required=True),
    hardness("min", "Minimum hardness"),
    hardness(
        "qualified_min",
        "Minimum found in qualification",
        "the limit is this figure times the fraction",
    ),
    _FRACTION,
    _STATISTIC,
    Field(name="readings_min", label="Readings, at least", kind=Kind.INTEGER, minimum=Decimal(1)),
    seconds("dwell", "Dwell", "from contact to reading, the same as in the qualification"),
    seconds("dwell_tolerance", "Tolerance of the dwell", "1 s unless the plan says otherwise"),
    _TEST_METHOD,
    _MATERIAL,
    Field(name="grade_min", label="Pencil grade, at least", kind=Kind.CHOICE, choices=PENCILS),
    scale("qualified_scale", "Scale of the qualification"),
    Field(
        name="same_cure_schedule",
        label="Qualified after the same cure schedule",
        kind=Kind.BOOLEAN,
        help="a post-cured qualification value says nothing about a cure at ambient temperature",
    ),
    *decision_fields(),
)


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue for a limit or a method that does not belong to the scale."""
    kind = criteria.text("scale")
    foreign = ("min", "qualified_min") if kind == "pencil" else ("grade_min",)
    for name in foreign:
        if name in criteria:
            raise InvalidValue(f"{path}.{name}", f"is no limit of the scale {kind}")
    method = criteria.text("test_method")
    if method and kind not in _TABLES["methods"][method]["scales"]:
        raise InvalidValue(f"{path}.test_method", f"{method} does not measure on {kind}")
    if "material" in criteria and kind != "barcol":
        raise InvalidValue(f"{path}.material", f"belongs to barcol, not to {kind}")
