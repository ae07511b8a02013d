"""Declares cure."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic, decision_fields
from qc.engine.characteristics.cure.criteria import check
from qc.engine.characteristics.cure.measures import MODES
from qc.engine.characteristics.cure.rules import assess
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension

_COLDEST, _HOTTEST = Decimal(-60), Decimal(300)


def _temperature(name: str, label: str, text: str = "", required: bool = False) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TEMPERATURE,
        unit="degC",
        us_unit="degF",
        minimum=_COLDEST,
        maximum=_HOTTEST,
        required=required,
        help=text,
    )


CURE = Characteristic(
    key="cure",
    title="Cure",
    schema_version=1,
    criteria=(
        Field(
            name="table",
            label="Cure time by temperature",
            kind=Kind.TABLE,
            dimension=Dimension.TEMPERATURE,
            unit="degC",
            us_unit="degF",
            minimum=_COLDEST,
            maximum=_HOTTEST,
            help="From the data sheet, for the state that is asked",
        ),
        Field(
            name="mode",
            label="Reckoned by",
            kind=Kind.CHOICE,
            choices=MODES,
            labels={
                "colder_row": "table, colder row",
                "log": "table, logarithm of time linear in temperature",
                "arrhenius": "table, Arrhenius between rows",
                "equivalent_age": "equivalent age",
                "maturity": "maturity (temperature-time)",
            },
            help="The colder row of the table unless the plan says otherwise",
        ),
        Field(
            name="age_min",
            label="Equivalent age or maturity, least",
            unit="hour",
            help="A time (24 hour) for equivalent age, a temperature-time (1440 degC_hour) "
            "for maturity",
        ),
        Field(
            name="activation_temperature",
            label="Activation temperature Q = E/R",
            dimension=Dimension.TEMPERATURE,
            unit="K",
            minimum=Decimal(1),
            maximum=Decimal(20_000),
            places=0,
            help="In K, from the data sheet",
        ),
        Field(
            name="reference",
            label="Reference temperature",
            dimension=Dimension.TEMPERATURE,
            unit="degC",
            us_unit="degF",
            minimum=Decimal(0),
            maximum=_HOTTEST,
            help="The temperature for which the age is given",
        ),
        _temperature("datum", "Datum temperature", "Below it the cure does not go on"),
        Field(
            name="gap_max",
            label="Longest time between readings",
            dimension=Dimension.TIME,
            unit="min",
            minimum=Decimal(0),
            places=0,
        ),
        _temperature("temperature_min", "Temperature during cure, least"),
        _temperature("temperature_max", "Temperature during cure, most"),
        *decision_fields(Dimension.TEMPERATURE_DIFFERENCE, "delta_degC"),
    ),
    reading=(
        Field(name="at", label="Time", kind=Kind.MOMENT, required=True),
        _temperature(
            "temperature",
            "Temperature of the repair",
            "Of the repair or the steel beside it, at its coldest place, not of the air",
            required=True,
        ),
    ),
    computed=(
        Field(name="fraction", label="Fraction of the cure time", kind=Kind.NUMBER, places=3),
        Field(
            name="equivalent_age",
            label="Equivalent age",
            dimension=Dimension.TIME,
            unit="hour",
            places=2,
        ),
        Field(
            name="maturity",
            label="Maturity",
            dimension=Dimension.TEMPERATURE_TIME,
            unit="degC_hour",
        ),
        Field(name="complete_at", label="Cure complete at", kind=Kind.MOMENT),
        Field(
            name="forecast_at",
            label="Complete if the last temperature holds (forecast)",
            kind=Kind.MOMENT,
        ),
    ),
    ordered=(("temperature_min", "temperature_max"),),
    check=check,
    assess=assess,
    instruments=("surface_thermometer", "thermometer", "data_logger"),
    method=(
        "Fix the sensor on the repair, or on the steel beside it, at the coldest place, shaded "
        "and pressed on. Read at the end of application and at least as often as the plan asks "
        "until the cure is complete; a logger does it through the night. Usual mistakes: logging "
        "the air instead of the repair, starting hours after application, and stopping when it "
        "feels hard."
    ),
    cautions=(
        "Do not load, bury or pressurise the repair before the cure is accepted.",
        "A thick section heats itself while it cures and can burn skin.",
        "Heaters and lamps need permission where flammable vapour can be present.",
    ),
)
