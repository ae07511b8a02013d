"""Dust, declared: what is asked, what is read, and how to take it."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic, Places
from qc.engine.characteristics.dust.rules import TABLES, assess, check
from qc.engine.fields import Field, Kind, with_defaults

_SIZES = "; ".join(f"{size} {seen}" for size, seen in TABLES["size_classes"].items())


def _rating(
    name: str,
    label: str,
    help: str = "",
    required: bool = False,
    asked_by: tuple[str, ...] | None = None,
) -> Field:
    return Field(
        name=name,
        label=label,
        kind=Kind.INTEGER,
        minimum=Decimal(0),
        maximum=Decimal(5),
        required=required,
        help=help,
        asked_by=asked_by,
    )


DUST = Characteristic(
    key="dust",
    title="Dust",
    schema_version=1,
    criteria=with_defaults(
        (
            Field(
                name="rule",
                label="Rule",
                kind=Kind.CHOICE,
                choices=("simple", "imo"),
                labels={
                    "simple": "quantity and size class each at most the limit",
                    "imo": "IMO: quantity 1 for classes 3, 4, 5; no smaller dust that is visible",
                },
                help="quantity and size class unless the plan says otherwise",
            ),
            _rating("quantity_max", "Quantity rating, at most", "IMO form: of size classes 3 to 5"),
            _rating("size_max", "Size class, at most"),
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
        Field(name="location", label="Place", kind=Kind.TEXT),
        _rating("quantity", "Quantity rating", "By the pictures of ISO 8502-3", required=True),
        _rating("size", "Size class", _SIZES),
        Field(
            name="visible",
            label="Dust is visible without magnification",
            kind=Kind.BOOLEAN,
            asked_by=("rule=imo",),
        ),
        Field(
            name="discoloured",
            label="Tape discoloured all over",
            kind=Kind.BOOLEAN,
            asked_by=(),
        ),
        Field(
            name="rust_grade",
            label="Rust grade before preparation",
            kind=Kind.CHOICE,
            choices=("A", "B", "C", "D"),
            asked_by=(),
        ),
        Field(name="tape", label="Tape used", kind=Kind.TEXT, asked_by=()),
    ),
    computed=(
        _rating("highest_quantity", "Highest quantity rating"),
        _rating("highest_size", "Highest size class"),
    ),
    assess=assess,
    check=check,
    places=Places(rules=("one_each",), least="readings_min"),
    instruments=("reference_photographs",),
    method=(
        "Brush, vacuum or blow the surface with clean, dry air first. Throw away the first turns "
        "of a new roll of tape. Press the tape on the steel with a firm, even thumb, peel it off, "
        "lay it on white and compare the dust with the pictures: the nearest rating of quantity, "
        "and the size class of the most of it with a lens of ten times. Test undersides, corners, "
        "ledges and behind bands, where dust settles. Usual mistakes: testing the middle only, an "
        "old tape, testing long before the coat goes on, and a size class for no dust at all."
    ),
    cautions=(
        "Dust of old coatings may hold lead, abrasive dust silica: protect lungs, skin and ground.",
        "Fine dust in the air can explode: no ignition while blowing off.",
    ),
)
