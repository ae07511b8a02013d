"""What is asked of a thickness and what is read."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic, Criteria, decision_fields
from qc.engine.characteristics.thickness.rules import assess_thickness
from qc.engine.fields import Field, InvalidValue, Kind
from qc.engine.quantities import Dimension

_HIGHEST = Decimal(500_000)


def _thickness(
    name: str, label: str, help: str = "", many: bool = False, required: bool = False
) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="um",
        us_unit="mil",
        many=many,
        required=required,
        minimum=Decimal(0),
        maximum=_HIGHEST,
        help=help,
    )


def _check(criteria: Criteria, path: str) -> None:
    """Refuses a zone that stands twice, or whose minimum lies above the maximum of the plan."""
    most = criteria.quantity("max")
    seen: set[str] = set()
    for index, zone in enumerate(criteria.groups("zones")):
        name, least = " ".join(zone.text("zone").casefold().split()), zone.quantity("min")
        if name in seen:
            raise InvalidValue(f"{path}.zones[{index}].zone", f"{name!r} stands twice")
        seen.add(name)
        if most is not None and least is not None and least > most:
            raise InvalidValue(f"{path}.zones[{index}].min", f"{least} is above max, {most}")


THICKNESS = Characteristic(
    key="thickness",
    title="Thickness",
    schema_version=1,
    criteria=(
        Field(
            name="rule",
            label="Rule",
            kind=Kind.CHOICE,
            choices=("iso19840", "pa2", "90-10", "minimum"),
            labels={
                "iso19840": "ISO 19840",
                "pa2": "SSPC-PA 2",
                "90-10": "90/10",
                "minimum": "every reading at least the minimum",
            },
            required=True,
        ),
        _thickness("nominal", "Nominal thickness", "for ISO 19840 and 90/10"),
        _thickness("min", "Minimum thickness"),
        _thickness("max", "Maximum thickness"),
        Field(
            name="level",
            label="Restriction level (SSPC-PA 2)",
            kind=Kind.INTEGER,
            minimum=Decimal(1),
            maximum=Decimal(5),
            help="3 unless the plan says otherwise; 1 is the strictest",
        ),
        Field(
            name="area",
            label="Area",
            dimension=Dimension.AREA,
            unit="m2",
            us_unit="ft2",
            minimum=Decimal(0),
            maximum=Decimal(10_000_000),
            help="gives the number of readings",
        ),
        Field(
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
            labels={"smooth": "none to correct (gauge set on the rough surface, or smooth steel)"},
            help="taken off each reading: fine 10, medium 25, coarse 40, unknown 25 µm; or own",
        ),
        Field(
            name="share_bound",
            label="Share below nominal (ISO 19840)",
            kind=Kind.CHOICE,
            choices=("less_than", "not_more_than"),
            labels={"less_than": "less than 20 %", "not_more_than": "not more than 20 %"},
            help="less than 20 % unless the plan says otherwise",
        ),
        Field(
            name="readings_min", label="Readings, at least", kind=Kind.INTEGER, minimum=Decimal(1)
        ),
        Field(
            name="zones",
            label="Zones",
            kind=Kind.GROUP,
            many=True,
            fields=(
                Field(name="zone", label="Zone", kind=Kind.TEXT, required=True),
                _thickness("min", "Minimum thickness", required=True),
            ),
            help="each with its own minimum",
        ),
        Field(
            name="metal_filled",
            label="The product is metal-filled",
            kind=Kind.BOOLEAN,
            help="then a magnetic gauge alone proves nothing",
        ),
        *decision_fields(Dimension.LENGTH, "um"),
    ),
    reading=(
        Field(name="zone", label="Zone or place", kind=Kind.TEXT),
        _thickness(
            "values", "Readings", "for SSPC-PA 2: the readings of one spot", True, required=True
        ),
        _thickness(
            "base_metal_reading",
            "Base metal readings",
            "of the bare prepared steel, for a gauge not set on it; their mean is taken off",
            True,
        ),
        Field(
            name="gauge",
            label="Kind of gauge",
            kind=Kind.CHOICE,
            choices=("magnetic", "eddy_current", "ultrasonic", "depth_gauge", "caliper"),
        ),
    ),
    computed=(
        Field(
            name="corrected",
            label="Corrected readings",
            dimension=Dimension.LENGTH,
            unit="um",
            us_unit="mil",
            many=True,
        ),
        Field(name="mean", label="Mean", dimension=Dimension.LENGTH, unit="um", us_unit="mil"),
        Field(name="lowest", label="Lowest", dimension=Dimension.LENGTH, unit="um", us_unit="mil"),
        Field(
            name="share_below_nominal",
            label="Share below nominal",
            dimension=Dimension.SHARE,
            unit="%",
        ),
        Field(
            name="spots",
            label="Thickness of the spot",
            dimension=Dimension.LENGTH,
            unit="um",
            us_unit="mil",
            per_reading=True,
        ),
        Field(
            name="areas",
            label="Thickness of the areas",
            dimension=Dimension.LENGTH,
            unit="um",
            us_unit="mil",
            many=True,
        ),
    ),
    assess=assess_thickness,
    ordered=(("min", "max"), ("nominal", "max")),
    check=_check,
    instruments=("thickness_gauge", "depth_gauge", "caliper"),
    method=(
        "Check the gauge on a standard near the expected thickness before and after. Spread the "
        "readings over the whole area, also over edges, welds and the far side. SSPC-PA 2: at each "
        "spot of 4 cm (1.5 in) take three readings and move the probe between them; an unusual "
        "reading that does not repeat is left out; five spots make an area. Fillers and laminates: "
        "measure from a recorded datum before and after with a depth gauge or caliper, in each "
        "zone. The usual mistakes: a coating still soft under the probe, the profile not corrected "
        "for, extra readings on thin places averaged in, a magnetic gauge on a metal-filled one."
    ),
    cautions=(
        "The surface may still be hot from curing, or from what the pipe carries.",
        "Never cut or drill a repair on a live pipe to measure its thickness.",
    ),
)
