"""Declares the recoat window."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic, decision_fields
from qc.engine.characteristics.recoat.rules import assess, check
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension

_COLDEST, _HOTTEST = Decimal(-60), Decimal(300)


def _window(name: str, label: str, text: str) -> Field:
    return Field(
        name=name,
        label=label,
        kind=Kind.TABLE,
        dimension=Dimension.TEMPERATURE,
        unit="degC",
        us_unit="degF",
        minimum=_COLDEST,
        maximum=_HOTTEST,
        help=text,
    )


RECOAT = Characteristic(
    key="recoat",
    title="Recoat window",
    schema_version=1,
    criteria=(
        _window(
            "window_min",
            "Next coat no earlier than",
            "Time by temperature; between two rows the colder, longer one counts",
        ),
        _window(
            "window_max",
            "Next coat no later than",
            "Time by temperature; between two rows the hotter, shorter one counts",
        ),
        Field(
            name="temperature_statistic",
            label="Temperature that counts",
            kind=Kind.CHOICE,
            choices=("extremes", "mean"),
            labels={
                "extremes": "lowest for the earliest, highest for the latest moment",
                "mean": "mean of the readings",
            },
            help="The extremes, as the safe side, unless the plan says otherwise",
        ),
        *decision_fields(Dimension.TIME, "min"),
    ),
    reading=(
        Field(name="coat", label="Next coat", kind=Kind.TEXT, help="Which coat, and where"),
        Field(
            name="previous_end",
            label="Previous coat finished",
            kind=Kind.MOMENT,
            required=True,
        ),
        Field(name="next_start", label="Next coat begun", kind=Kind.MOMENT),
        Field(
            name="temperatures",
            label="Surface temperatures between the coats",
            dimension=Dimension.TEMPERATURE,
            unit="degC",
            us_unit="degF",
            many=True,
            minimum=_COLDEST,
            maximum=_HOTTEST,
        ),
        Field(
            name="abraded",
            label="Abraded and cleaned after the window had closed",
            kind=Kind.BOOLEAN,
            help="Past the window the old coat is hardened and abraded before the next",
            asked_by=("window_max",),
        ),
    ),
    computed=(
        Field(
            name="waited",
            label="Time between coats",
            dimension=Dimension.TIME,
            unit="min",
            per_reading=True,
        ),
        Field(name="earliest", label="Not before", kind=Kind.MOMENT, per_reading=True),
        Field(name="latest", label="Not after", kind=Kind.MOMENT, per_reading=True),
    ),
    check=check,
    assess=assess,
    instruments=("surface_thermometer", "data_logger"),
    method=(
        "Note when the previous coat was finished where it was finished last. Read the surface "
        "temperature at its coldest and warmest place between the coats. Begin the next coat "
        "inside the window; past it, let the coat harden, abrade it all over, clean it and say "
        "so. Usual mistakes: counting from where the coat was begun, and taking the air's "
        "temperature for the steel's."
    ),
    cautions=(
        "Solvent from a fresh coat can burn and numb: ventilate, and keep ignition away.",
        "Dust from abrading fresh resin sensitises skin and lungs.",
    ),
)
