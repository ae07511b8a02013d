"""What a reading of thickness holds, and what is computed from the readings."""

from dataclasses import replace
from decimal import Decimal

from qc.engine.characteristics.thickness.criteria import thickness
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension

_CHECK = ("gauge_accuracy",)


def _list(name: str, label: str, help: str = "", asked_by: tuple[str, ...] | None = None) -> Field:
    return replace(thickness(name, label, help), many=True, asked_by=asked_by)


def _derived(name: str, label: str, many: bool = False) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="um",
        us_unit="mil",
        many=many,
    )


READING = (
    Field(name="zone", label="Zone or place", kind=Kind.TEXT),
    _list("values", "Readings", "SSPC-PA 2: the gauge readings of one spot, at least three"),
    Field(
        name="gauge",
        label="Kind of gauge",
        kind=Kind.CHOICE,
        choices=("magnetic", "eddy_current", "ultrasonic", "depth_gauge", "caliper", "wet_comb"),
        asked_by=("metal_filled",),
    ),
    _list(
        "datum_before",
        "Distances before",
        "from the datum to the bare surface, or a caliper over the bare wall; instead of readings",
        (),
    ),
    _list("datum_after", "Distances after", "at the same places, in the same order", ()),
    _list("flushness", "Steps to the surface around", asked_by=("flushness_max",)),
    _list(
        "base_metal_reading",
        "Base metal readings",
        "on the bare prepared steel, for a gauge not set on it; their mean is taken off",
        (),
    ),
    replace(thickness("check_stated", "Check of the gauge: stated"), asked_by=_CHECK),
    replace(thickness("check_measured", "Check of the gauge: measured"), asked_by=_CHECK),
    Field(
        name="calibrated_on_laminate",
        label="Ultrasonic gauge calibrated on the same laminate",
        kind=Kind.BOOLEAN,
        asked_by=(),
    ),
    Field(
        name="extra",
        label="Extra reading where it looked thin",
        kind=Kind.BOOLEAN,
        help="judged by itself, never averaged in",
        asked_by=(),
    ),
    Field(
        name="repeated",
        label="Readings repeated because they looked wrong",
        kind=Kind.INTEGER,
        minimum=Decimal(0),
        asked_by=(),
    ),
    Field(
        name="maps",
        label="Maps the area around spot",
        kind=Kind.TEXT,
        help="for spots going outwards from one that failed (SSPC-PA 2)",
        asked_by=(),
    ),
    Field(name="direction", label="Direction going outwards", kind=Kind.TEXT, asked_by=()),
    Field(name="surface_ends", label="The surface ends here", kind=Kind.BOOLEAN, asked_by=()),
)

COMPUTED = (
    _derived("corrected", "Corrected readings", many=True),
    _derived("mean", "Mean"),
    _derived("lowest", "Lowest"),
    Field(
        name="share_below_nominal",
        label="Share below nominal",
        dimension=Dimension.SHARE,
        unit="%",
    ),
    _derived("spots", "Thickness of the spots", many=True),
    _derived("areas", "Thickness of the areas", many=True),
    _derived("dry_expected", "Dry film to expect (estimate)"),
)
