"""What a plan may ask of a wrap while it is applied, and which demands make no sense."""

from dataclasses import replace
from decimal import Decimal

from qc.engine.characteristic import Criteria, decision_fields
from qc.engine.fields import Field, InvalidValue, Kind, with_defaults
from qc.engine.quantities import Dimension, Quantity
from qc.engine.standards.tables import load_tables

TABLES = load_tables("qc.engine.characteristics.wrap")
ABOVE_ZERO = Decimal("0.001")


def length(name: str, label: str, help: str = "", least: Decimal = Decimal(0)) -> Field:
    """A field that holds a length, in mm or in."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="mm",
        us_unit="in",
        minimum=least,
        maximum=Decimal(100_000),
        help=help,
    )


def seconds(name: str, label: str, help: str = "") -> Field:
    """A field that holds a short time."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TIME,
        unit="s",
        minimum=Decimal(0),
        maximum=Decimal(86_400),
        places=0,
        help=help,
    )


def overlap(name: str, label: str, help: str = "") -> Field:
    """A field that holds the share of the width by which turns overlap: never the whole."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.SHARE,
        unit="%",
        minimum=Decimal(0),
        maximum=Decimal(99),
        help=help,
    )


def count(name: str, label: str, help: str = "", least: int = 1) -> Field:
    """A field that holds a number of things."""
    return Field(
        name=name,
        label=label,
        kind=Kind.INTEGER,
        minimum=Decimal(least),
        maximum=Decimal(1000),
        help=help,
    )


def surface_temperature(name: str, label: str, kind: Kind, help: str) -> Field:
    """A field that holds a temperature of the pipe, or a table over it."""
    return Field(
        name=name,
        label=label,
        kind=kind,
        dimension=Dimension.TEMPERATURE,
        unit="degC",
        us_unit="degF",
        minimum=Decimal(-60),
        maximum=Decimal(300),
        help=help,
    )


_PIPE = (
    length("diameter", "Outside diameter of the pipe", least=ABOVE_ZERO),
    length("wall", "Nominal wall", "for the overlap by formula", ABOVE_ZERO),
    length("defect_length", "Length of the defect", "as designed for"),
)

_SERVICE = (
    Field(
        name="design_pressure",
        label="Design pressure",
        dimension=Dimension.PRESSURE,
        unit="bar",
        us_unit="psi",
        minimum=Decimal(0),
        maximum=Decimal(10_000),
        help="gauge pressure; with the next five for the risk by ASME PCC-2, for information",
    ),
    surface_temperature(
        "design_temperature_max", "Design temperature, highest", Kind.QUANTITY, "for the risk"
    ),
    surface_temperature(
        "design_temperature_min", "Design temperature, lowest", Kind.QUANTITY, "for the risk"
    ),
    length("leak_diameter", "Diameter of the leak", "for the risk"),
    Field(
        name="fluid_hazardous",
        label="Fluid hazardous",
        kind=Kind.BOOLEAN,
        help="or immediately dangerous to life; for the risk",
    ),
    Field(
        name="safety_critical",
        label="System critical to safety",
        kind=Kind.BOOLEAN,
        help="fire water and the like; for the risk",
    ),
)

_SEAL = (
    Field(
        name="pad_extent_min",
        label="Seal pad, at least so many times the defect",
        kind=Kind.NUMBER,
        minimum=Decimal(1),
        maximum=Decimal(100),
    ),
    length("backing_min", "Backing sheet, at least"),
    length("backing_max", "Backing sheet, at most"),
    length("bands_from", "Retaining bands on pipe from a diameter of"),
    count("bands_min", "Retaining bands, at least", "several for large holes and long cracks"),
    length("band_spacing_min", "Distance between bands, at least", "about 10 mm: common practice"),
    length("band_spacing_max", "Distance between bands, at most"),
    Field(
        name="fasteners_by_diameter",
        label="Fasteners of a band by diameter",
        kind=Kind.BOOLEAN,
        help="2 from 10 to 16 in, 3 above 18 in; for other diameters the plan states a number",
    ),
    count("fasteners_min", "Fasteners of a band, at least", "instead of those by diameter"),
)

_ROLLS = (
    seconds("soak_min", "Soaking, at least", "about 10 s: common practice"),
    seconds("soak_max", "Soaking, at most"),
    seconds("knead_min", "Kneading in its water, at least", "by the data sheet of the roll"),
    seconds("knead_max", "Kneading in its water, at most"),
    surface_temperature(
        "working_time",
        "Working time by surface temperature",
        Kind.TABLE,
        "between two rows the next warmer one counts; nothing is carried on above the warmest",
    ),
    length("start_offset_min", "Start before the leak, at least", "about 100 mm: common practice"),
    length("start_offset_max", "Start before the leak, at most"),
    overlap("overlap_min", "Overlap of the turns, at least", "of the width"),
    length("roll_width", "Width of the roll", "for overlaps measured as a length", ABOVE_ZERO),
)

_DESIGN = (
    count("layers_min", "Layers of the design"),
    length("design_thickness", "Thickness of the design", "gives the layers, with the ply"),
    length("ply_thickness", "Thickness of one ply, cured", least=ABOVE_ZERO),
    length("overlap_length_min", "Overlap beyond the defect, as designed, at least"),
    length("length_min", "Length of the repair, as designed, at least"),
    length("overlap_floor", "Least overlap by formula", "for information"),
    Field(
        name="taper_ratio",
        label="Taper, length to thickness",
        kind=Kind.NUMBER,
        minimum=Decimal(0),
        maximum=Decimal(100),
        help="for information",
    ),
)

_OF_LENGTHS = tuple(
    replace(field, help="of lengths; times, shares and numbers are compared as read")
    if field.name == "expanded_uncertainty"
    else field
    for field in decision_fields(Dimension.LENGTH, "mm")
)

CRITERIA = with_defaults(
    (*_PIPE, *_SERVICE, *_SEAL, *_ROLLS, *_DESIGN, *_OF_LENGTHS),
    TABLES["defaults"],
)

_WINDOWS = ("backing", "band_spacing", "soak", "knead", "start_offset", "design_temperature")
ORDERED = tuple((f"{name}_min", f"{name}_max") for name in _WINDOWS)


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue for a wall that leaves no bore, and for a working time of nothing, or one that
    is longer when warmer."""
    diameter, wall = criteria.quantity("diameter"), criteria.quantity("wall")
    if diameter and wall and Quantity(2 * wall.magnitude, wall.unit) >= diameter:
        problem = f"{wall} on either side leaves no bore in a pipe of {diameter}"
        raise InvalidValue(f"{path}.wall", problem)
    rows = criteria.table("working_time")
    for at, time in rows:
        if time.magnitude <= 0:
            raise InvalidValue(f"{path}.working_time", f"{time} at {at} is no working time")
    for (cold, longer), (hot, shorter) in zip(rows, rows[1:], strict=False):
        if shorter > longer:
            problem = f"{shorter} at {hot} is longer than {longer} at {cold}"
            raise InvalidValue(f"{path}.working_time", problem)
