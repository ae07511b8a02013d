"""What a plan may ask of a surface profile, and which demands make no sense together."""

from decimal import Decimal

from qc.engine.characteristic import Criteria, decision_fields
from qc.engine.fields import Field, InvalidValue, Kind
from qc.engine.quantities import Dimension
from qc.engine.standards.tables import load_tables

_STANDARDS: dict[str, list[str]] = load_tables("qc.engine.characteristics.profile")["standards"]

HIGHEST = Decimal(1000)
"""Micrometres; above, an entry is a mistake."""

COMPARATORS = ("grit", "shot")


def profile(name: str, label: str, many: bool = False, per_reading: bool = False) -> Field:
    """A field that holds a profile, or several."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="um",
        us_unit="mil",
        many=many,
        minimum=Decimal(0),
        maximum=HIGHEST,
        per_reading=per_reading,
    )


def _count(name: str, label: str, maximum: int | None = None) -> Field:
    most = None if maximum is None else Decimal(maximum)
    return Field(name=name, label=label, kind=Kind.INTEGER, minimum=Decimal(1), maximum=most)


_METHOD = Field(
    name="method",
    label="Method",
    kind=Kind.CHOICE,
    choices=("comparator", "depth_micrometer", "replica_tape", "stylus"),
    help="values of two methods are never compared as numbers",
)

_STANDARD = Field(
    name="standard",
    label="Standard of the method",
    kind=Kind.CHOICE,
    choices=("iso8503-2", "iso8503-4", "iso8503-5", "astm-d4417", "astm-d7127", "sp0287"),
    labels={
        "iso8503-2": "ISO 8503-2",
        "iso8503-4": "ISO 8503-4",
        "iso8503-5": "ISO 8503-5",
        "astm-d4417": "ASTM D4417",
        "astm-d7127": "ASTM D7127",
        "sp0287": "NACE SP0287",
    },
)

_STATISTIC = Field(
    name="statistic",
    label="Value of a location",
    kind=Kind.CHOICE,
    choices=("mean", "max", "mean_of_max"),
    labels={
        "mean": "mean of its readings",
        "max": "highest of its readings",
        "mean_of_max": "highest of its readings, and the mean of all locations is judged",
    },
    help="mean unless the plan says otherwise; editions of ASTM D4417 differ",
)

_AREA = Field(
    name="area",
    label="Area",
    dimension=Dimension.AREA,
    unit="m2",
    us_unit="ft2",
    minimum=Decimal(0),
    maximum=Decimal(10_000_000),
    help="asks for 3 locations up to 100 m² (1000 ft²), one more for each further 100 m²",
)

CRITERIA = (
    profile("min", "Profile, minimum"),
    profile("max", "Profile, maximum"),
    _METHOD,
    _STANDARD,
    Field(name="edition", label="Edition of the standard", kind=Kind.TEXT),
    _STATISTIC,
    _count("locations_min", "Locations, at least"),
    _count("readings_min", "Readings at each location, at least"),
    _AREA,
    Field(
        name="overlap_rule",
        label="Second tape grade in the overlap",
        kind=Kind.BOOLEAN,
        help="on unless the plan says otherwise; newer instructions for the tape drop it",
    ),
    Field(
        name="grade",
        label="Grade by comparator",
        kind=Kind.CHOICE,
        choices=("fine", "medium", "coarse"),
    ),
    Field(
        name="comparator",
        label="Comparator",
        kind=Kind.CHOICE,
        choices=COMPARATORS,
        aliases={"G": "grit", "S": "shot"},
    ),
    _count("segment_min", "Comparator segment, at least", 4),
    _count("segment_max", "Comparator segment, at most", 4),
    *decision_fields(Dimension.LENGTH, "um"),
)


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue for demands on a comparator where the plan names another method, and for a
    standard that does not describe the method."""
    method = criteria.text("method", "comparator")
    for name in ("grade", "comparator", "segment_min", "segment_max"):
        if name in criteria and method != "comparator":
            raise InvalidValue(f"{path}.{name}", f"belongs to a comparator, not to {method}")
    _check_standard(criteria, path)


def _check_standard(criteria: Criteria, path: str) -> None:
    method, standard = criteria.text("method"), criteria.text("standard")
    if not method or not standard or standard in _STANDARDS[method]:
        return
    known = " or ".join(_STANDARD.label_of(each) for each in _STANDARDS[method])
    problem = f"{_STANDARD.label_of(standard)} does not describe a {_METHOD.label_of(method)}"
    raise InvalidValue(f"{path}.standard", f"{problem}; {known} does")
