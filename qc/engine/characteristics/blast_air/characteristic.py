"""Blast air, declared: what is asked, what is seen, and how to test."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics.blast_air.rules import TABLES, assess
from qc.engine.fields import Field, Kind, with_defaults
from qc.engine.quantities import Dimension


def _time(
    name: str,
    label: str,
    unit: str,
    help: str = "",
    required: bool = False,
    asked_by: tuple[str, ...] | None = None,
) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TIME,
        unit=unit,
        minimum=Decimal(0),
        help=help,
        required=required,
        asked_by=asked_by,
    )


_OFTEN = ("interval_max",)

BLAST_AIR = Characteristic(
    key="blast_air",
    title="Blast air",
    schema_version=1,
    criteria=with_defaults(
        (
            _time("duration_min", "Test, at least", "min", "1 min unless the plan says otherwise"),
            _time("interval_max", "Operating time between tests, at most", "hour"),
            Field(name="at_start_up", label="Test at each start-up", kind=Kind.BOOLEAN),
            Field(
                name="readings_min",
                label="Tests, at least",
                kind=Kind.INTEGER,
                minimum=Decimal(1),
                maximum=Decimal(1000),
            ),
        ),
        TABLES["defaults"],
    ),
    reading=(
        Field(name="at", label="Time", kind=Kind.MOMENT),
        Field(name="outlet", label="Compressor or outlet", kind=Kind.TEXT),
        Field(
            name="occasion",
            label="Occasion",
            kind=Kind.CHOICE,
            choices=("start_up", "running"),
            labels={"start_up": "at start-up", "running": "while running"},
            asked_by=("at_start_up", "interval_max"),
        ),
        _time("duration", "Cloth held in the air for", "min", required=True),
        Field(name="oil", label="Oil on the cloth", kind=Kind.BOOLEAN, required=True),
        Field(name="water", label="Water on the cloth", kind=Kind.BOOLEAN, required=True),
        _time("hour_meter", "Hour meter of the compressor", "hour", asked_by=_OFTEN),
        Field(
            name="until",
            label="End of blasting after this test",
            kind=Kind.MOMENT,
            help="Where it ended before the next test",
            asked_by=_OFTEN,
        ),
    ),
    computed=(
        Field(
            name="longest_run",
            label="Longest operating time between tests",
            dimension=Dimension.TIME,
            unit="hour",
        ),
    ),
    assess=assess,
    instruments=("stopwatch",),
    method=(
        "Let the compressor reach its working temperature, with all traps and filters in place. "
        "Without abrasive, hold a clean white cloth or blotting paper on a rigid frame in the "
        "middle of the discharge, as close behind the last trap as the work allows, for at least "
        "a minute. Look at it at once, in good light: no oil, no water. Test at each start-up and "
        "again before the interval of the plan is over. Usual mistakes: testing a cold machine, "
        "testing at the compressor and not at the hose, a cloth that was not clean before."
    ),
    cautions=(
        "Compressed air can blind and get under the skin: eye protection, the frame clamped and "
        "not held by hand, nobody in front of the discharge.",
        "Release the pressure before a trap, filter or hose is opened, and secure hose couplings.",
    ),
)
