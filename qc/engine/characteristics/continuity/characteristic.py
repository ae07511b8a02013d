"""Declares the holiday test."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics.continuity.rules import assess, check
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension


def _voltage(name: str, label: str, help: str = "", per_reading: bool = False) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.VOLTAGE,
        unit="V",
        us_unit="V",
        minimum=Decimal(1),
        maximum=Decimal(100_000),
        places=0,
        help=help,
        per_reading=per_reading,
    )


def _area(name: str, label: str, asked_by: tuple[str, ...] | None = None) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.AREA,
        unit="m2",
        us_unit="ft2",
        minimum=Decimal(0),
        maximum=Decimal(10_000_000),
        asked_by=asked_by,
    )


def _thickness(help: str, asked_by: tuple[str, ...] | None = None) -> Field:
    return Field(
        name="thickness",
        label="Thickness of the coating",
        dimension=Dimension.LENGTH,
        unit="um",
        us_unit="mil",
        minimum=Decimal(1),
        maximum=Decimal(100_000),
        help=help,
        asked_by=asked_by,
    )


_CRITERIA = (
    Field(
        name="method",
        label="Method",
        kind=Kind.CHOICE,
        choices=("high_voltage", "low_voltage"),
        labels={"high_voltage": "high voltage (spark)", "low_voltage": "low voltage (wet sponge)"},
        required=True,
    ),
    Field(name="standard", label="Standard", kind=Kind.TEXT, required=True),
    Field(
        name="edition",
        label="Edition of the standard",
        kind=Kind.TEXT,
        required=True,
        help="the year: voltages differ between editions",
    ),
    _voltage("voltage", "Test voltage", "as the specification sets it; none is assumed"),
    Field(
        name="voltage_tolerance",
        label="Tolerance of the voltage",
        dimension=Dimension.SHARE,
        unit="%",
        minimum=Decimal(0),
        maximum=Decimal(50),
        help="none unless the plan says otherwise",
    ),
    Field(
        name="holidays_max",
        label="Holidays accepted",
        kind=Kind.INTEGER,
        minimum=Decimal(0),
        maximum=Decimal(100_000),
        help="0 unless the plan says otherwise",
    ),
    _thickness("where a reading states none of its own"),
    Field(
        name="dielectric_strength",
        label="Dielectric strength of the coating",
        dimension=Dimension.DIELECTRIC_STRENGTH,
        unit="kV/mm",
        us_unit="V/mil",
        minimum=Decimal("0.001"),
        maximum=Decimal(1000),
        help="from the product data sheet; the voltage stays below strength times thickness",
    ),
    _area("area", "Area to be tested"),
)

_READING = (
    Field(name="location", label="Place or part", kind=Kind.TEXT),
    _voltage("voltage", "Voltage used", "as measured at the probe"),
    Field(
        name="holidays",
        label="Holidays found",
        kind=Kind.INTEGER,
        required=True,
        minimum=Decimal(0),
        maximum=Decimal(100_000),
    ),
    Field(
        name="places",
        label="Where they are",
        kind=Kind.TEXT,
        help="distance and clock position; mark each on the coating",
    ),
    _thickness("the thinnest measured here", ("method=low_voltage", "dielectric_strength")),
    _area("area", "Area tested", ("area",)),
)

_COMPUTED = (
    Field(name="holidays", label="Holidays found", kind=Kind.INTEGER),
    _area("area_tested", "Area tested"),
    _voltage("ceiling", "The coating withstands", per_reading=True),
    _voltage("rp0274", "By NACE RP0274 (information)", per_reading=True),
    _voltage("d5162", "By ASTM D5162 (information)", per_reading=True),
)

CONTINUITY = Characteristic(
    key="continuity",
    title="Continuity (holiday test)",
    schema_version=1,
    criteria=_CRITERIA,
    reading=_READING,
    computed=_COMPUTED,
    assess=assess,
    check=check,
    instruments=("holiday_detector", "thickness_gauge"),
    method=(
        "Test the cured, dry and clean coating, after its thickness has been accepted. Ground the "
        "detector on bare steel and prove it on a made holiday before and after. Set the voltage "
        "of the plan and measure it at the probe. Move the probe over all of the surface at the "
        "pace of the standard, and stop at each signal; mark the place, without wax or oil. Wet "
        "sponge: wet it with a little wetting agent, wipe run-off away, and go over twice. Usual "
        "mistakes: no ground, a voltage taken from another standard or edition, a coating still "
        "wet with solvent or water, and going over the same spot again and again."
    ),
    cautions=(
        "High voltage: the shock can throw you off a ladder. Not for anybody with a pacemaker.",
        "It sparks: only under a permit, with the air proved free of flammable gas and vapour, "
        "solvents from the coating included.",
        "Too high a voltage breaks a sound coating down: confirm it with the maker.",
    ),
)
