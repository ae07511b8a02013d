"""Declares mixing."""

from dataclasses import replace
from decimal import Decimal

from qc.engine.characteristic import Characteristic, decision_fields
from qc.engine.characteristics.mixing.rules import assess, check
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension

_ZERO = Decimal(0)


def _time(name: str, label: str, text: str = "") -> Field:
    return Field(
        name=name, label=label, dimension=Dimension.TIME, unit="min", minimum=_ZERO, help=text
    )


def _temperature(
    name: str, label: str, text: str = "", asked_by: tuple[str, ...] | None = None
) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TEMPERATURE,
        unit="degC",
        us_unit="degF",
        minimum=Decimal(-60),
        maximum=Decimal(200),
        help=text,
        asked_by=asked_by,
    )


def _moment(
    name: str, label: str, text: str = "", asked_by: tuple[str, ...] | None = None
) -> Field:
    return Field(name=name, label=label, kind=Kind.MOMENT, help=text, asked_by=asked_by)


def _amount(
    name: str, label: str, text: str = "", asked_by: tuple[str, ...] | None = None
) -> Field:
    return Field(
        name=name, label=label, unit="g", us_unit="oz", help=text, places=0, asked_by=asked_by
    )


def _density(name: str, label: str) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.DENSITY,
        unit="kg/l",
        minimum=Decimal("0.01"),
        maximum=Decimal(25),
        places=3,
        help="Turns a weighed part into a volume, or a measured volume into a weight",
    )


_OF_THE_RATIO = tuple(
    replace(field, help="Of the ratio; times and temperatures are compared as read")
    if field.name == "expanded_uncertainty"
    else field
    for field in decision_fields(Dimension.SHARE, "%")
)

MIXING = Characteristic(
    key="mixing",
    title="Mixing",
    schema_version=1,
    criteria=(
        _time("duration_min", "Mixing time, least"),
        _time("duration_max", "Mixing time, most"),
        Field(
            name="ratio",
            label="Mixing ratio A to B",
            kind=Kind.TEXT,
            help="As on the data sheet: 2.5 or 2.5:1",
        ),
        Field(
            name="ratio_basis",
            label="Ratio is by",
            kind=Kind.CHOICE,
            choices=("weight", "volume"),
        ),
        Field(
            name="ratio_tolerance",
            label="Ratio tolerance",
            dimension=Dimension.SHARE,
            unit="%",
            minimum=_ZERO,
            maximum=Decimal(100),
            help="Share of the ratio by which it may be off on either side",
        ),
        _density("density_a", "Density of part A"),
        _density("density_b", "Density of part B"),
        Field(
            name="whole_kits_only",
            label="Whole kits only",
            kind=Kind.BOOLEAN,
            help="A part of a filled kit may have lost its composition",
        ),
        _amount("batch_max", "Largest mix", "A larger mix heats up and sets sooner"),
        _amount("kit_amount", "A whole kit holds", "By its label: the amount of a kit not weighed"),
        _time("induction", "Induction time", "Wait between the end of mixing and first use"),
        Field(
            name="pot_life",
            label="Pot life by temperature",
            kind=Kind.TABLE,
            dimension=Dimension.TEMPERATURE,
            unit="degC",
            us_unit="degF",
            minimum=Decimal(-60),
            maximum=Decimal(200),
            help="One row: other temperatures are estimated by halving. "
            "Several rows: the next warmer row counts",
        ),
        Field(
            name="pot_life_starts",
            label="Pot life starts",
            kind=Kind.CHOICE,
            choices=("mix_start", "mix_end"),
            labels={"mix_start": "at the start of mixing", "mix_end": "at the end of mixing"},
            help="At the start of mixing unless the data sheet says otherwise",
        ),
        Field(
            name="pot_life_halving",
            label="Pot life halves with each",
            dimension=Dimension.TEMPERATURE_DIFFERENCE,
            unit="delta_degC",
            us_unit="delta_degF",
            minimum=Decimal(5),
            maximum=Decimal(100),
            help="Outside the table; 10 degC (18 degF) unless the data sheet says otherwise",
        ),
        _temperature("storage_temperature_min", "Storage temperature, least"),
        _temperature("storage_temperature_max", "Storage temperature, most"),
        _temperature("material_temperature_min", "Material temperature, least"),
        _temperature("material_temperature_max", "Material temperature, most"),
        *_OF_THE_RATIO,
    ),
    reading=(
        _temperature(
            "storage_temperature",
            "Storage temperature",
            "Where the parts were kept",
            ("storage_temperature_min", "storage_temperature_max"),
        ),
        _moment("mix_start", "Mixing started", "When the parts first touched"),
        _moment("mix_end", "Mixing ended"),
        _moment("first_use", "First applied", asked_by=("induction", "pot_life")),
        _moment("last_use", "Last applied", asked_by=("pot_life",)),
        _temperature(
            "material_temperature",
            "Material temperature",
            "Of the mix, not of the air",
            ("pot_life", "material_temperature_min", "material_temperature_max"),
        ),
        _temperature(
            "surface_temperature",
            "Surface temperature",
            "Where it is applied; the warmer of the two decides the pot life",
            ("pot_life",),
        ),
        _amount("part_a", "Part A", asked_by=("ratio", "batch_max")),
        _amount("part_b", "Part B", asked_by=("ratio", "batch_max")),
        Field(
            name="whole_kit",
            label="Whole kit mixed",
            kind=Kind.BOOLEAN,
            help="Both packs emptied into one mix, so that nothing is weighed",
            asked_by=("ratio", "whole_kits_only"),
        ),
        Field(
            name="expiry",
            label="Use by (shelf life)",
            kind=Kind.DATE,
            help="The earlier day of the two parts; good through that day",
            asked_by=(),
        ),
        Field(
            name="uses",
            label="Where it was used",
            kind=Kind.GROUP,
            many=True,
            help="One line a repair, where a mix served several",
            asked_by=(),
            fields=(
                Field(name="where", label="Repair or area", kind=Kind.TEXT, required=True),
                Field(name="first_use", label="From", kind=Kind.MOMENT, required=True),
                Field(name="last_use", label="Until", kind=Kind.MOMENT, required=True),
            ),
        ),
        _amount("discarded", "Discarded", asked_by=()),
    ),
    computed=(
        Field(
            name="duration",
            label="Mixing time",
            dimension=Dimension.TIME,
            unit="min",
            per_reading=True,
        ),
        Field(
            name="ratio_deviation",
            label="Ratio deviation",
            dimension=Dimension.SHARE,
            unit="%",
            places=2,
            per_reading=True,
        ),
        Field(
            name="pot_life",
            label="Pot life",
            dimension=Dimension.TIME,
            unit="min",
            per_reading=True,
        ),
        Field(name="use_by", label="Use by", kind=Kind.MOMENT, per_reading=True),
    ),
    ordered=(
        ("duration_min", "duration_max"),
        ("storage_temperature_min", "storage_temperature_max"),
        ("material_temperature_min", "material_temperature_max"),
    ),
    assess=assess,
    check=check,
    instruments=("scale", "thermometer", "stopwatch"),
    method=(
        "Read product, batch and expiry of both parts before they are opened. Bring the parts to "
        "temperature and measure it in the material. Weigh each part on a scale, or empty whole "
        "kits and say so. Start the watch when the parts touch; mix to one colour without "
        "streaks, scraping sides and bottom. Note the end of mixing, the first and the last time "
        "material of this mix is applied, and throw away what is left at the end of the pot life "
        "even if it still spreads. Usual mistakes: judging equal parts by eye, thinning a mix "
        "that stiffens, and counting the pot life from the end of mixing."
    ),
    cautions=(
        "Resins and hardeners (epoxies, amines, isocyanates) sensitise skin and lungs: gloves, "
        "eye protection and fresh air, and the safety data sheet at hand.",
        "A large or old mix heats itself and can smoke or burn: spread it out in the open and "
        "never close the tin.",
    ),
)
