"""Declares the pressure test."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic, decision_fields
from qc.engine.characteristics.pressure_test.rules import assess, check
from qc.engine.fields import Field, Kind, with_defaults
from qc.engine.quantities import Dimension
from qc.engine.standards.tables import load_tables


def _pressure(name: str, label: str, help: str = "", required: bool = False) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.PRESSURE,
        unit="bar",
        us_unit="psi",
        minimum=Decimal(0),
        maximum=Decimal(10_000),
        places=2,
        help=help,
        required=required,
    )


def _time(name: str, label: str, help: str = "") -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TIME,
        unit="min",
        minimum=Decimal(0),
        help=help,
    )


_OFFERED = load_tables("qc.engine.characteristics.pressure_test")["defaults"]

_CRITERIA = (
    _pressure("design_pressure", "Design pressure", "gauge pressure, as the owner states it"),
    Field(
        name="factor",
        label="Test pressure as a multiple of it",
        kind=Kind.NUMBER,
        minimum=Decimal(1),
        maximum=Decimal(3),
        places=2,
        help="1.1 unless the plan says otherwise",
    ),
    _pressure("pressure_min", "Test pressure, at least", "where the plan states it itself"),
    _pressure(
        "pressure_max",
        "Pressure, at most",
        "what the weakest part in the test stands; never gone above",
    ),
    _time("hold_min", "Hold, at least", "60 min unless the plan says otherwise"),
    _pressure("drop_max", "Drop during the hold, at most"),
    _time("interval_max", "Between readings, at most"),
    Field(
        name="medium",
        label="Test medium",
        kind=Kind.CHOICE,
        choices=("water", "other_liquid", "gas"),
        help="water, wherever it can be",
    ),
    Field(name="standard", label="Code or standard, with edition", kind=Kind.TEXT),
    *decision_fields(Dimension.PRESSURE, "bar"),
)

_READING = (
    Field(name="at", label="Time", kind=Kind.MOMENT, required=True),
    _pressure("pressure", "Pressure", "at the gauge, lowest point of the test", required=True),
    Field(
        name="temperature",
        label="Temperature",
        dimension=Dimension.TEMPERATURE,
        unit="degC",
        us_unit="degF",
        minimum=Decimal(-60),
        maximum=Decimal(300),
        help="of the pipe or the medium; needed at the start and at the end of the hold",
    ),
    Field(
        name="leak",
        label="Leak seen",
        kind=Kind.BOOLEAN,
        help="at the repair, its ends and the seal; also a weep or a damp spot",
    ),
    Field(
        name="phase",
        label="Phase",
        kind=Kind.CHOICE,
        choices=("hold", "raising", "lowering"),
        labels={"hold": "held", "raising": "being raised", "lowering": "being let down"},
        help="held, unless stated otherwise",
    ),
    Field(name="remark", label="Remark", kind=Kind.TEXT, help="where and how it leaked"),
)

_COMPUTED = (
    _time("hold", "Held for"),
    _pressure("required", "Pressure asked for"),
    _pressure("lowest", "Lowest during the hold"),
    _pressure("highest", "Highest"),
    _pressure("drop", "Drop during the hold"),
)

PRESSURE_TEST = Characteristic(
    key="pressure_test",
    title="Pressure test",
    schema_version=1,
    criteria=with_defaults(_CRITERIA, _OFFERED),
    reading=_READING,
    computed=_COMPUTED,
    assess=assess,
    ordered=(("pressure_min", "pressure_max"),),
    check=check,
    instruments=("pressure_gauge", "thermometer", "data_logger", "stopwatch"),
    method=(
        "Only after the cure has been accepted. Fill with water from the lowest point, let all air "
        "out at the highest, and wait until water and pipe are equally warm. Raise the pressure in "
        "steps, with everybody clear, to the pressure of the plan. Shut the pump off and take it "
        "away from the line; read time, pressure and temperature at the start, between, and at the "
        "end of the hold. Then look at the whole repair for leaks, from the side and with a lamp. "
        "Let the pressure down slowly. A gauge reads what stands above it as well: put it at the "
        "lowest point, or allow for the height. Usual mistakes: air left in the line, a pump still "
        "running, a fall in temperature taken for a leak or a rise that hides one."
    ),
    cautions=(
        "Water, not gas, wherever it can be: compressed gas stores energy enough to kill when the "
        "line lets go. A test with gas needs the owner's engineer and the code behind it.",
        "Nobody in line with the repair, its ends, plugs or hoses while the pressure is up; look "
        "for leaks only after it has stood a while.",
        "Every part in the test must stand the pressure: blind flanges, hoses, gauges, the pipe "
        "beside the repair, and the weight of the water.",
        "Whether, how and by whom it is tested is for the local code and the owner.",
    ),
)
