"""What is read of the air and the steel, what a plan may ask of them, and how to take it."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic, decision_fields
from qc.engine.characteristics.ambient.rules import assess
from qc.engine.fields import Field, Kind, with_defaults
from qc.engine.formulas.psychrometrics import Formula
from qc.engine.quantities import Dimension
from qc.engine.standards.tables import load_tables


def _temperature(
    name: str,
    label: str,
    help_text: str = "",
    *,
    steel: bool = False,
    asked_by: tuple[str, ...] | None = None,
) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TEMPERATURE,
        unit="degC",
        us_unit="degF",
        minimum=Decimal(-60 if steel else -45),
        maximum=Decimal(500 if steel else 60),
        many=steel and name == "steel",
        help=help_text,
        asked_by=asked_by,
        usual=2,
    )


def _difference(name: str, label: str, help_text: str = "") -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TEMPERATURE_DIFFERENCE,
        unit="delta_degC",
        us_unit="delta_degF",
        minimum=Decimal(0),
        maximum=Decimal(50),
        help=help_text,
    )


def _humidity(name: str, label: str, least: int, most: int, help_text: str = "") -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.SHARE,
        unit="%",
        minimum=Decimal(least),
        maximum=Decimal(most),
        help=help_text,
    )


def _time(name: str, label: str, least: str, help_text: str = "") -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TIME,
        unit="hour",
        minimum=Decimal(least),
        help=help_text,
    )


CRITERIA = (
    _difference("margin_min", "Least margin of the steel above the dew point"),
    _humidity("humidity_max", "Highest relative humidity", 1, 100),
    Field(
        name="humidity_bound",
        label="Humidity limit itself",
        kind=Kind.CHOICE,
        choices=("at_most", "below"),
        labels={"at_most": "is allowed", "below": "is not allowed"},
        help="allowed unless the plan says otherwise",
    ),
    _temperature("air_min", "Lowest air temperature"),
    _temperature("air_max", "Highest air temperature"),
    _temperature("steel_min", "Lowest steel temperature", steel=True),
    _temperature("steel_max", "Highest steel temperature", steel=True),
    _time("interval_max", "Longest time between readings", "0.01"),
    _time("interval_tolerance", "Tolerance on that time", "0"),
    Field(
        name="rising_required",
        label="Margin must be rising",
        kind=Kind.BOOLEAN,
        help="as seen by the inspector, or by the last two readings",
    ),
    Field(
        name="readings_min",
        label="Least number of readings",
        kind=Kind.INTEGER,
        minimum=Decimal(1),
        maximum=Decimal(1000),
    ),
    Field(name="work_start", label="Work starts", kind=Kind.MOMENT),
    Field(name="work_end", label="Work ends, cure included", kind=Kind.MOMENT),
    Field(
        name="formula",
        label="Dew-point formula",
        kind=Kind.CHOICE,
        choices=tuple(Formula),
        labels={
            "wmo2008": "WMO-No. 8 (2008), Magnus form",
            "hyland_wexler": "Hyland-Wexler, as ASHRAE Fundamentals",
        },
        help="WMO-No. 8 (2008) unless the plan says otherwise",
    ),
    Field(
        name="below_zero",
        label="Below 0 °C the margin counts from",
        kind=Kind.CHOICE,
        choices=("higher", "dew_point"),
        labels={"higher": "the higher of dew and frost point", "dew_point": "the dew point"},
        help="the higher of the two unless the plan says otherwise",
    ),
    Field(
        name="wet_bulb_method",
        label="Psychrometer method",
        kind=Kind.CHOICE,
        choices=("aspirated", "sling"),
        labels={"aspirated": "ASTM E337 Method A", "sling": "ASTM E337 Method B"},
    ),
    _difference("air_uncertainty", "Uncertainty of the air temperature (k = 2)"),
    _humidity("humidity_uncertainty", "Uncertainty of the humidity (k = 2)", 0, 20),
    _difference("wet_bulb_uncertainty", "Uncertainty of the wet bulb (k = 2)"),
    _difference("steel_uncertainty", "Uncertainty of the steel temperature (k = 2)"),
    *decision_fields(Dimension.TEMPERATURE_DIFFERENCE, "delta_degC"),
)

READING = (
    Field(name="at", label="Taken at", kind=Kind.MOMENT),
    _temperature("air", "Air temperature (dry bulb)", "in the shade, close to the steel"),
    _humidity("humidity", "Relative humidity", 1, 120, "or give the wet bulb and the pressure"),
    _temperature("wet_bulb", "Wet bulb", "lowest steady reading", asked_by=()),
    Field(
        name="bulb",
        label="Wick of the wet bulb",
        kind=Kind.CHOICE,
        choices=("water", "ice"),
        help="taken as ice below 0 °C where not stated",
        asked_by=(),
    ),
    Field(
        name="pressure",
        label="Air pressure at the site",
        dimension=Dimension.PRESSURE,
        unit="hPa",
        us_unit="inHg",
        minimum=Decimal(500),
        maximum=Decimal(1100),
        help="as the barometer reads on site, not reduced to sea level; needed with a wet bulb",
        asked_by=(),
    ),
    Field(
        name="altitude",
        label="Altitude of the site",
        dimension=Dimension.LENGTH,
        unit="m",
        us_unit="ft",
        minimum=Decimal(-500),
        maximum=Decimal(5000),
        help="in place of the pressure",
        asked_by=(),
    ),
    _temperature("steel", "Steel temperature", "coldest and warmest spot", steel=True),
    Field(
        name="moisture_visible",
        label="Moisture visible on the steel",
        kind=Kind.BOOLEAN,
        help="yes also where the steel may be wet without showing it",
    ),
    Field(
        name="rising",
        label="Steel rising away from the dew point",
        kind=Kind.BOOLEAN,
        help="where the plan asks for it",
        asked_by=("rising_required",),
    ),
)


def _computed(name: str, label: str, dimension: Dimension, unit: str, us_unit: str = "") -> Field:
    return Field(
        name=name,
        label=label,
        dimension=dimension,
        unit=unit,
        us_unit=us_unit,
        per_reading=True,
    )


COMPUTED = (
    _computed("dew_point", "Dew point", Dimension.TEMPERATURE, "degC", "degF"),
    _computed("frost_point", "Frost point", Dimension.TEMPERATURE, "degC", "degF"),
    _computed("humidity", "Relative humidity", Dimension.SHARE, "%"),
    _computed(
        "margin",
        "Margin of the steel above the dew point",
        Dimension.TEMPERATURE_DIFFERENCE,
        "delta_degC",
        "delta_degF",
    ),
    _computed(
        "margin_uncertainty",
        "Uncertainty of the margin (k = 2)",
        Dimension.TEMPERATURE_DIFFERENCE,
        "delta_degC",
        "delta_degF",
    ),
    Field(name="formula", label="Dew-point formula", kind=Kind.TEXT),
)

AMBIENT = Characteristic(
    key="ambient",
    title="Ambient conditions and dew point",
    schema_version=1,
    criteria=with_defaults(CRITERIA, load_tables("qc.engine.characteristics.ambient")["defaults"]),
    reading=READING,
    computed=COMPUTED,
    assess=assess,
    ordered=(("air_min", "air_max"), ("steel_min", "steel_max"), ("work_start", "work_end")),
    instruments=(
        "hygrometer",
        "psychrometer",
        "thermometer",
        "surface_thermometer",
        "barometer",
        "data_logger",
    ),
    method=(
        "Read before the work starts, about every four hours while it goes on and cures, and at "
        "once when the weather turns. Take air temperature and humidity in the shade beside the "
        "repair and let the instrument settle; keep breath and hands away from it. With a "
        "psychrometer, wet the wick with clean water, move air over it and read the wet bulb when "
        "it no longer falls; note the air pressure or the altitude. Then find the coldest and the "
        "warmest spot of the steel to be covered: shaded side, underside and supports are cold, "
        "the sunny side is warm. Wipe the steel with a dry cloth if in doubt whether it is wet. "
        "Usual mistakes: one spot only, a sensor still warm from the pocket, an infrared "
        "thermometer on bare blasted steel, pressure reduced to sea level."
    ),
    cautions=(
        "Steel in service may be hot or very cold: know its temperature before you touch it.",
        "Use instruments approved for the area where gas or vapour may be present.",
    ),
    columns=(
        "at",
        "air",
        "wet_bulb",
        "humidity",
        "computed_humidity",
        "computed_dew_point",
        "computed_frost_point",
        "steel",
        "computed_margin",
    ),
    spread_over_work=True,
)
