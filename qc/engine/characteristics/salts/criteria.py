"""What a plan may ask of soluble salts, and which demands make no sense together."""

from dataclasses import replace
from decimal import Decimal

from qc.engine.characteristic import Criteria, decision_fields
from qc.engine.fields import Field, InvalidValue, Kind, with_defaults
from qc.engine.quantities import Dimension
from qc.engine.standards.tables import load_tables

TABLES = load_tables("qc.engine.characteristics.salts")
BASES = ("mixed", "nacl")
BASIS_NAMES = {"mixed": "mixed salts", "nacl": "sodium chloride"}


def surface_density(name: str, label: str, help: str = "") -> Field:
    """A field that holds a mass of salts on an area."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.SURFACE_DENSITY,
        unit="mg/m2",
        us_unit="ug/cm2",
        minimum=Decimal(0),
        maximum=Decimal(100_000),
        help=help,
    )


def conductivity(name: str, label: str, help: str = "") -> Field:
    """A field that holds the conductivity of a solution."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.CONDUCTIVITY,
        unit="uS/cm",
        minimum=Decimal(0),
        maximum=Decimal(200_000),
        help=help,
    )


def volume(help: str) -> Field:
    """The field of the volume of water; nothing is no volume."""
    return Field(
        name="volume",
        label="Volume of water",
        dimension=Dimension.VOLUME,
        unit="ml",
        minimum=Decimal("0.1"),
        maximum=Decimal(10_000),
        help=help,
    )


def patch_area(help: str) -> Field:
    """The field of the area that the water wets; nothing is no area."""
    return Field(
        name="patch_area",
        label="Area of the patch",
        dimension=Dimension.AREA,
        unit="mm2",
        minimum=Decimal(10),
        maximum=Decimal(1_000_000),
        places=0,
        help=help,
    )


def minutes(name: str, label: str) -> Field:
    """A field that holds the time of contact."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TIME,
        unit="min",
        minimum=Decimal(0),
        maximum=Decimal(1440),
    )


def count(name: str, label: str, least: int = 1) -> Field:
    """A field that holds a number of things."""
    return Field(
        name=name, label=label, kind=Kind.INTEGER, minimum=Decimal(least), maximum=Decimal(1000)
    )


_BASIS = Field(
    name="basis",
    label="Salts are stated as",
    kind=Kind.CHOICE,
    choices=BASES,
    labels=BASIS_NAMES,
    help="the limit and the constant are those of the same salts",
)

_CONSTANT = Field(
    name="constant",
    label="Constant of the salts, kg m⁻² S⁻¹",
    kind=Kind.NUMBER,
    minimum=Decimal("0.1"),
    maximum=Decimal(20),
    places=3,
    help="instead of that of the basis: 5 for mixed salts, 4.624 for sodium chloride",
)

_STATISTIC = Field(
    name="statistic",
    label="Compared with the limit",
    kind=Kind.CHOICE,
    choices=("each", "mean"),
    labels={"each": "each test", "mean": "the mean of all tests"},
    help="each test unless the plan says otherwise",
)

_AREA = Field(
    name="area",
    label="Area of the prepared surface",
    dimension=Dimension.AREA,
    unit="m2",
    us_unit="ft2",
    minimum=Decimal(0),
    maximum=Decimal(10_000_000),
    help="gives the number of tests",
)

_WELD_SHARE = Field(
    name="weld_share_min",
    label="Share of the tests at welds, at least",
    dimension=Dimension.SHARE,
    unit="%",
    minimum=Decimal(0),
    maximum=Decimal(100),
    places=0,
    help="30 % on new tanks (UFGS, read second-hand)",
)

_UNCERTAINTY_OF = Field(
    name="uncertainty_of",
    label="The uncertainty is that of",
    kind=Kind.CHOICE,
    choices=("conductivity", "chloride"),
    labels={"conductivity": "salts from conductivity", "chloride": "chloride"},
    help="both are guarded where this is left open",
)

CRITERIA = with_defaults(
    (
        surface_density("max", "Soluble salts from conductivity, at most"),
        _BASIS,
        _CONSTANT,
        volume("of the extraction; a test may state its own"),
        patch_area("of the extraction; a test may state its own"),
        Field(
            name="subtract_blank",
            label="Conductivity of the blank is taken off",
            kind=Kind.BOOLEAN,
            help="yes unless the plan says otherwise",
        ),
        conductivity(
            "conductivity_max",
            "Rise in conductivity, at most",
            "where the specification names one: it holds for one volume and patch only",
        ),
        surface_density(
            "chloride_max",
            "Chloride, at most",
            "from an ion-specific test; another quantity than salts from conductivity",
        ),
        conductivity("blank_max", "Conductivity of the blank, at most", "else the test is void"),
        minutes("contact_min", "Time of contact, at least"),
        count("pump_cycles_min", "Times the water is moved to and fro, at least"),
        _STATISTIC,
        _AREA,
        count("readings_min", "Tests, at least"),
        _WELD_SHARE,
        *decision_fields(Dimension.SURFACE_DENSITY, "mg/m2"),
        _UNCERTAINTY_OF,
    ),
    TABLES["defaults"],
)


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue for a limit on salts that does not say of which salts."""
    if "max" in criteria and "basis" not in criteria and "constant" not in criteria:
        problem = f"max needs the salts it is stated as ({' or '.join(BASES)}), or the constant"
        raise InvalidValue(f"{path}.basis", problem)


def constant_of(criteria: Criteria) -> tuple[Decimal, str] | None:
    """(the constant c, where it is from); None where the plan says neither salts nor constant."""
    stated, basis = criteria.number("constant"), criteria.text("basis")
    if stated is not None:
        return stated, criteria.source("constant")
    if not basis:
        return None
    return Decimal(TABLES["constants"][basis]), TABLES["constants"]["sources"][basis]


def optional(field: Field, *asked_by: str) -> Field:
    """`field` as part of a reading, asked for only where one of these criteria is set."""
    return replace(field, asked_by=asked_by)
