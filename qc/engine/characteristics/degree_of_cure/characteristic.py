"""Declares the degree of cure."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic, decision_fields
from qc.engine.characteristics.degree_of_cure.glass_transition import check
from qc.engine.characteristics.degree_of_cure.rules import assess
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension


def _enthalpy(name: str, label: str, text: str, asked_by: tuple[str, ...] | None = None) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.SPECIFIC_ENERGY,
        unit="J/g",
        minimum=Decimal(0),
        maximum=Decimal(10_000),
        places=2,
        help=text,
        asked_by=asked_by,
    )


def _glass_transition(
    name: str, label: str, text: str = "", asked_by: tuple[str, ...] | None = None
) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.TEMPERATURE,
        unit="degC",
        us_unit="degF",
        minimum=Decimal(-150),
        maximum=Decimal(500),
        help=text,
        asked_by=asked_by,
    )


DEGREE_OF_CURE = Characteristic(
    key="degree_of_cure",
    title="Degree of cure",
    schema_version=1,
    criteria=(
        Field(
            name="degree_min",
            label="Degree of cure, least",
            dimension=Dimension.SHARE,
            unit="%",
            minimum=Decimal(0),
            maximum=Decimal(100),
            places=2,
        ),
        _enthalpy(
            "total_enthalpy",
            "Total heat of reaction",
            "Of the fresh mix, from the qualification; a sample's own value takes its place",
        ),
        _glass_transition("glass_transition_min", "Glass transition, least"),
        _glass_transition(
            "design_temperature", "Design temperature", "With a margin to the glass transition"
        ),
        Field(
            name="glass_transition_margin_min",
            label="Glass transition above the design temperature by, least",
            dimension=Dimension.TEMPERATURE_DIFFERENCE,
            unit="delta_degC",
            us_unit="delta_degF",
            minimum=Decimal(0),
            maximum=Decimal(200),
        ),
        Field(
            name="defect_type",
            label="Defect",
            kind=Kind.CHOICE,
            choices=("A", "B"),
            labels={"A": "A: not through the wall", "B": "B: through the wall"},
            help="Where the plan states no margin: A 20, B 30 °C, from memory; to be confirmed "
            "against the licensed text",
        ),
        Field(
            name="readings_min",
            label="Samples, least",
            kind=Kind.INTEGER,
            minimum=Decimal(1),
            maximum=Decimal(1000),
        ),
        *decision_fields(Dimension.SHARE, "%"),
    ),
    reading=(
        Field(name="sample", label="Sample", kind=Kind.TEXT),
        _enthalpy("total_enthalpy", "Total heat of reaction", "Of the fresh mix", ("degree_min",)),
        _enthalpy(
            "residual_enthalpy", "Residual heat of reaction", "Of the cured sample", ("degree_min",)
        ),
        _glass_transition(
            "glass_transition",
            "Glass transition",
            asked_by=("glass_transition_min", "design_temperature"),
        ),
    ),
    computed=(
        Field(
            name="degree",
            label="Degree of cure",
            dimension=Dimension.SHARE,
            unit="%",
            places=2,
            per_reading=True,
        ),
    ),
    assess=assess,
    check=check,
    method=(
        "Take a sample from a witness made of the same mix and cured beside the repair, never "
        "from the repair itself unless the plan allows it. The laboratory reports the heat of "
        "reaction left in the sample and, from fresh mix, the whole; their ratio gives the "
        "degree of cure. Usual mistakes: a witness kept warmer than the repair, and totals of "
        "another batch or filler content."
    ),
    cautions=("Cutting samples makes dust of resin and fibre: mask, goggles and gloves.",),
)
