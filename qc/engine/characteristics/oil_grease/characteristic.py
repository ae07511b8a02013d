"""Oil and grease, declared: what is asked, what is seen, and how to test."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics.oil_grease.rules import METHODS, TABLES, assess
from qc.engine.fields import Field, Kind, with_defaults
from qc.engine.quantities import Dimension

_NAMES = TABLES["methods"]
_BLACK_LIGHT = ("methods=black_light",)

OIL_GREASE = Characteristic(
    key="oil_grease",
    title="Oil and grease",
    schema_version=1,
    criteria=with_defaults(
        (
            Field(
                name="methods_min",
                label="Methods, at least",
                kind=Kind.INTEGER,
                minimum=Decimal(1),
                maximum=Decimal(len(METHODS)),
                help="2 unless the plan says otherwise",
            ),
            Field(
                name="methods",
                label="Methods that must be among them",
                kind=Kind.CHOICE,
                choices=METHODS,
                labels=_NAMES,
                many=True,
            ),
        ),
        TABLES["defaults"],
    ),
    reading=(
        Field(
            name="location",
            label="Place",
            kind=Kind.TEXT,
            help="Left out: the whole surface",
        ),
        Field(
            name="method",
            label="Method",
            kind=Kind.CHOICE,
            choices=METHODS,
            labels=_NAMES,
            required=True,
        ),
        Field(
            name="contaminated",
            label="Oil or grease found",
            kind=Kind.BOOLEAN,
            required=True,
            help="Water that beads, a stain on the cloth, a glow, anything seen",
        ),
        Field(
            name="fluorescence_proven",
            label="Black light: this oil was shown to glow",
            kind=Kind.BOOLEAN,
            asked_by=_BLACK_LIGHT,
        ),
        Field(
            name="distance",
            label="Black light: distance of the lamp",
            dimension=Dimension.LENGTH,
            unit="mm",
            us_unit="in",
            minimum=Decimal(0),
            maximum=Decimal(10_000),
            places=0,
            asked_by=_BLACK_LIGHT,
        ),
        Field(
            name="dark",
            label="Black light: in the dark",
            kind=Kind.BOOLEAN,
            asked_by=_BLACK_LIGHT,
        ),
        Field(
            name="before_blasting",
            label="Black light: before blasting",
            kind=Kind.BOOLEAN,
            asked_by=_BLACK_LIGHT,
        ),
        Field(name="remark", label="Remark", kind=Kind.TEXT),
    ),
    computed=(Field(name="methods", label="Methods that count", kind=Kind.INTEGER),),
    assess=assess,
    method=(
        "Test the whole surface by at least two methods. By eye: stains, gloss, drips. Water "
        "break: spray a fine mist of distilled water; on clean steel it spreads, on oil it beads. "
        "White cloth: rub with clean, lint-free cloth; any discoloration is contamination. Black "
        "light only before blasting, in the dark, not farther than 381 mm (15 in), only for an oil "
        "shown to glow, and confirmed by another method. Any evidence rejects the surface: clean "
        "it with solvent to SP 1 and test again. Usual mistakes: blasting over oil, which drives "
        "it into the profile, a used cloth, and a rough surface on which water spreads anyhow."
    ),
    cautions=(
        "Solvents are highly flammable and harmful: gloves, fresh air, no ignition, and a permit "
        "where the area asks for one.",
        "Black light harms eyes and skin: wear eye protection and do not look into the lamp.",
    ),
)
