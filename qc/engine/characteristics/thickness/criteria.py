"""What a plan may ask of a thickness, and which demands make no sense together."""

from decimal import Decimal

from qc.engine.characteristic import Criteria, decision_fields
from qc.engine.characteristics.thickness.minimum import zone_key
from qc.engine.fields import Field, InvalidValue, Kind
from qc.engine.quantities import Dimension

HIGHEST = Decimal(500_000)
"""Micrometres; above, an entry is a mistake."""


def thickness(name: str, label: str, help: str = "", required: bool = False) -> Field:
    """A field that holds one thickness."""
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="um",
        us_unit="mil",
        required=required,
        minimum=Decimal(0),
        maximum=HIGHEST,
        help=help,
    )


def _percent(name: str, label: str, help: str = "") -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.SHARE,
        unit="%",
        minimum=Decimal(0),
        maximum=Decimal(100),
        help=help,
    )


def _count(name: str, label: str) -> Field:
    return Field(name=name, label=label, kind=Kind.INTEGER, minimum=Decimal(1))


_RULE = Field(
    name="rule",
    label="Rule",
    kind=Kind.CHOICE,
    choices=("iso19840", "pa2", "90-10", "minimum", "wet_film"),
    labels={
        "iso19840": "ISO 19840",
        "pa2": "SSPC-PA 2",
        "90-10": "90/10",
        "minimum": "every reading at least the minimum",
        "wet_film": "wet film, as a check of the work in progress",
    },
    aliases={"90/10": "90-10", "SSPC-PA 2": "pa2"},
    required=True,
)

_LEVEL = Field(
    name="level",
    label="Restriction level (SSPC-PA 2)",
    kind=Kind.INTEGER,
    minimum=Decimal(1),
    maximum=Decimal(5),
    help="3 unless the plan says otherwise; 1 is the strictest",
)

_AREA = Field(
    name="area",
    label="Area",
    dimension=Dimension.AREA,
    unit="m2",
    us_unit="ft2",
    minimum=Decimal(0),
    maximum=Decimal(10_000_000),
    help="gives the number of readings",
)

_SURFACE_PROFILE = Field(
    name="surface_profile",
    label="Profile under the coating",
    kind=Kind.CHOICE,
    dimension=Dimension.LENGTH,
    unit="um",
    us_unit="mil",
    minimum=Decimal(0),
    maximum=Decimal(1000),
    choices=("smooth", "fine", "medium", "coarse", "unknown"),
    aliases={"none": "smooth"},
    labels={"smooth": "nothing to take off: smooth, or gauge set on the rough surface"},
    help="taken off each reading: fine 10, medium 25, coarse 40, unknown 25 µm",
)

_SHARE_BOUND = Field(
    name="share_bound",
    label="Share below nominal (ISO 19840)",
    kind=Kind.CHOICE,
    choices=("less_than", "not_more_than"),
    labels={"less_than": "less than 20 %", "not_more_than": "not more than 20 %"},
    help="less than 20 % unless the plan says otherwise",
)

_ZONES = Field(
    name="zones",
    label="Zones",
    kind=Kind.GROUP,
    many=True,
    fields=(
        Field(name="zone", label="Zone", kind=Kind.TEXT, required=True),
        thickness("min", "Minimum thickness", required=True),
        _count("readings_min", "Readings, at least"),
    ),
    help="each with its own minimum",
)

_METAL_FILLED = Field(
    name="metal_filled",
    label="The product is metal-filled",
    kind=Kind.BOOLEAN,
    help="then a magnetic or eddy current gauge alone proves nothing",
)

_UNCERTAINTY_OF = Field(
    name="uncertainty_of",
    label="The uncertainty is that of",
    kind=Kind.CHOICE,
    choices=("single", "mean"),
    labels={"single": "a single reading or spot", "mean": "the mean"},
    help="both are guarded where this is left open",
)

CRITERIA = (
    _RULE,
    thickness("nominal", "Nominal thickness", "for ISO 19840 and 90/10"),
    thickness("min", "Minimum thickness"),
    thickness("max", "Maximum thickness"),
    _LEVEL,
    _AREA,
    _SURFACE_PROFILE,
    _SHARE_BOUND,
    _count("readings_min", "Readings, at least"),
    _ZONES,
    thickness("mean_min", "Mean of a station, at least", "a station is one reading of the record"),
    thickness("flushness_max", "Step to the surface around, at most"),
    _METAL_FILLED,
    _percent("gauge_accuracy", "Accuracy of the gauge", "of the reading"),
    _percent("standard_accuracy", "Accuracy of the standard", "of its stated value"),
    _percent("volume_solids", "Volume solids", "for the dry film a wet film leaves"),
    *decision_fields(Dimension.LENGTH, "um"),
    _UNCERTAINTY_OF,
)


def check(criteria: Criteria, path: str) -> None:
    """InvalidValue for a zone that stands twice or asks more than `max`, for a minimum above the
    nominal thickness, and for limits that the rule does not judge."""
    for name in ("zones", "mean_min"):
        if name in criteria and criteria.text("rule") != "minimum":
            raise InvalidValue(f"{path}.{name}", "is judged by the rule minimum only")
    least, nominal = criteria.quantity("min"), criteria.quantity("nominal")
    if least is not None and nominal is not None and least > nominal:
        raise InvalidValue(f"{path}.min", f"{least} is above the nominal thickness, {nominal}")
    _check_zones(criteria, path)


def _check_zones(criteria: Criteria, path: str) -> None:
    most, seen = criteria.quantity("max"), set()
    for index, zone in enumerate(criteria.groups("zones")):
        key, least = zone_key(zone.text("zone")), zone.quantity("min")
        if key in seen:
            raise InvalidValue(f"{path}.zones[{index}].zone", f"{key!r} stands twice")
        if most is not None and least is not None and least > most:
            raise InvalidValue(f"{path}.zones[{index}].min", f"{least} is above max, {most}")
        seen.add(key)
