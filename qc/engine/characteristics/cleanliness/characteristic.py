"""What is recorded of the prepared surface, what a plan may ask of it, and how to judge it."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics.cleanliness.grades import FLASH_RUST, GRADES, spellings
from qc.engine.characteristics.cleanliness.levels import GRADE, MOST
from qc.engine.characteristics.cleanliness.rules import assess, check
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension

_FLASH_RUST_LABELS = {"none": "none", "L": "L, light", "M": "M, moderate", "H": "H, heavy"}


def _level(label: str, *asked_by: str) -> Field:
    return Field(
        name="level",
        label=label,
        kind=Kind.INTEGER,
        minimum=Decimal(1),
        maximum=Decimal(MOST),
        help=f"of {GRADE} only, where its edition has levels",
        asked_by=asked_by or None,
    )


CRITERIA = (
    Field(
        name="required",
        label="Required grade",
        kind=Kind.CHOICE,
        choices=GRADES,
        aliases=spellings(),
    ),
    Field(name="edition", label="Edition of its standard", kind=Kind.TEXT),
    _level("Level of cleanliness"),
    Field(
        name="flash_rust_max",
        label="Most flash rust allowed",
        kind=Kind.CHOICE,
        choices=FLASH_RUST,
        labels=_FLASH_RUST_LABELS,
        help="after water jetting, as the maker of the coating allows",
    ),
    Field(
        name="equivalents",
        label="Grades accepted in place of another",
        kind=Kind.PAIR,
        choices=GRADES,
        aliases=spellings(),
        many=True,
        help="the required grade first, as Sa 2½ = SP 10; grades of two systems are not equal",
    ),
    Field(
        name="hand_below_power",
        label="Power tool cleaning (SP 3) meets hand tool cleaning (SP 2)",
        kind=Kind.BOOLEAN,
        help="yes unless the plan says otherwise; if not, the two do not compare",
    ),
    Field(
        name="locations_min",
        label="Least number of places to be judged",
        kind=Kind.INTEGER,
        minimum=Decimal(1),
        maximum=Decimal(1000),
    ),
)

READING = (
    Field(name="location", label="Place", kind=Kind.TEXT),
    Field(
        name="achieved",
        label="Grade achieved",
        kind=Kind.CHOICE,
        choices=GRADES,
        aliases=spellings(),
        help="the grade nearest in appearance",
    ),
    _level("Level achieved", "level"),
    Field(
        name="rust_grade",
        label="Rust grade before preparation",
        kind=Kind.CHOICE,
        choices=("A", "B", "C", "D"),
        help="the worst that was seen",
    ),
    Field(
        name="previously_painted",
        label="Steel was painted before",
        kind=Kind.BOOLEAN,
        asked_by=(),
    ),
    Field(
        name="flash_rust",
        label="Flash rust",
        kind=Kind.CHOICE,
        choices=FLASH_RUST,
        labels=_FLASH_RUST_LABELS,
        asked_by=("flash_rust_max",),
    ),
    Field(
        name="degreased",
        label="Oil and grease removed first (SP 1)",
        kind=Kind.BOOLEAN,
    ),
    Field(
        name="profile",
        label="Profile",
        dimension=Dimension.LENGTH,
        unit="um",
        us_unit="mil",
        minimum=Decimal(0),
        maximum=Decimal(1000),
        places=0,
        help="where it belongs to the grade: SP 11, SP 15",
        # By an equivalent such a grade may decide as well.
        asked_by=("required=SP 11", "required=SP 15", "equivalents=SP 11", "equivalents=SP 15"),
    ),
    Field(
        name="reference",
        label="Reference used",
        kind=Kind.TEXT,
        help="photographs or wording, with the edition",
        asked_by=(),
    ),
)

CLEANLINESS = Characteristic(
    key="cleanliness",
    title="Cleanliness of the surface",
    schema_version=1,
    criteria=CRITERIA,
    reading=READING,
    computed=(),
    assess=assess,
    check=check,
    instruments=("reference_photographs",),
    method=(
        "Remove oil and grease first: blasting drives them into the steel. Note the worst rust "
        "grade before the work. When the surface is clean and dry, brush or blow off the dust and "
        "compare it under good daylight, or lamps as bright, with the reference photographs or "
        "the wording that the plan names; record the grade nearest in appearance. Look at the "
        "whole surface and name the worst places: edges, welds, pits, undersides, behind bands "
        "and supports. Judge flash rust at once before the coating goes on. Usual mistakes: "
        "photographs of another rust grade, a grade of one system read as that of another, a "
        "burnished surface after power tools taken for clean metal."
    ),
    cautions=(
        "Never clean a wall that may be too thin or a live leak without the owner's permission.",
        "Use tools that give no sparks where gas or vapour may be present.",
        "Dust of old coatings may hold lead or other poisons: protect lungs, skin and ground.",
    ),
)
