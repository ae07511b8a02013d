"""Declares the solvent rub."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics.solvent_rub.rules import TABLES, assess
from qc.engine.fields import Field, Kind, with_defaults

_SCALE = "; ".join(f"{rating} {seen}" for rating, seen in TABLES["ratings"].items())


def _rating(
    name: str,
    label: str,
    text: str,
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
        help=text,
        asked_by=asked_by,
    )


_CRITERIA = (
    Field(
        name="method",
        label="Method",
        kind=Kind.CHOICE,
        choices=("ASTM D5402", "ASTM D4752"),
        labels={
            "ASTM D5402": "ASTM D5402 (organic coatings)",
            "ASTM D4752": "ASTM D4752 (ethyl silicate zinc-rich primers)",
        },
    ),
    Field(name="solvent", label="Solvent", kind=Kind.TEXT, help="As agreed, often MEK"),
    _rating("rating_min", "Rating, least", "Agreed before the test"),
    Field(
        name="rubs_min",
        label="Double rubs, least",
        kind=Kind.INTEGER,
        minimum=Decimal(1),
        maximum=Decimal(1000),
        help="50 unless the plan says otherwise",
    ),
    Field(
        name="control_panel",
        label="Compared with a cured control panel",
        kind=Kind.BOOLEAN,
        help="The rub compares; organic coatings need a panel known to be cured",
    ),
    Field(
        name="readings_min",
        label="Places, least",
        kind=Kind.INTEGER,
        minimum=Decimal(1),
        maximum=Decimal(1000),
    ),
)

SOLVENT_RUB = Characteristic(
    key="solvent_rub",
    title="Solvent rub",
    schema_version=1,
    criteria=with_defaults(_CRITERIA, TABLES["defaults"]),
    reading=(
        Field(name="location", label="Place", kind=Kind.TEXT),
        Field(
            name="rubs",
            label="Double rubs done",
            kind=Kind.INTEGER,
            minimum=Decimal(0),
            maximum=Decimal(1000),
            required=True,
            help="One full forward and back motion is one double rub",
        ),
        _rating("rating", "Rating", _SCALE, required=True),
        Field(name="penetrated", label="Rubbed through to the substrate", kind=Kind.BOOLEAN),
        _rating(
            "control_rating",
            "Rating of the control panel",
            "The same rub on the panel",
            asked_by=("control_panel",),
        ),
    ),
    computed=(Field(name="lowest", label="Lowest rating", kind=Kind.INTEGER),),
    assess=assess,
    method=(
        "Wash a place clean and let it dry. Wet a white cotton cloth with the agreed solvent, "
        "rub with firm finger pressure about 150 mm forward and back, keep the cloth wet, and "
        "count double rubs. Stop when the substrate shows. Rate the middle of the rubbed strip "
        "and the cloth; do the same on the control panel. Usual mistakes: counting single rubs, "
        "a cloth run dry, and rating an uncured coat by its ends."
    ),
    cautions=(
        "The solvents used are highly flammable and harmful: solvent gloves, fresh air, no "
        "ignition, and a permit where the area asks for one.",
        "The rub damages the coat: agree where it may be done and repair the place.",
    ),
)
