"""Declares the pull-off test."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic, Places, decision_fields
from qc.engine.characteristics.adhesion.rules import assess, check
from qc.engine.fields import Field, Kind, with_defaults
from qc.engine.quantities import Dimension
from qc.engine.standards.tables import load_tables


def _stress(name: str, label: str, help: str = "", per_reading: bool = False) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.PRESSURE,
        unit="MPa",
        us_unit="psi",
        minimum=Decimal(0),
        maximum=Decimal(200),
        places=2,
        help=help,
        per_reading=per_reading,
    )


def _share(name: str, label: str, help: str = "") -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.SHARE,
        unit="%",
        minimum=Decimal(0),
        maximum=Decimal(100),
        help=help,
    )


def _dolly(help: str) -> Field:
    return Field(
        name="dolly_diameter",
        label="Diameter of the dolly",
        dimension=Dimension.LENGTH,
        unit="mm",
        us_unit="in",
        minimum=Decimal(5),
        maximum=Decimal(200),
        help=help,
    )


_OFFERED = load_tables("qc.engine.characteristics.adhesion")["defaults"]

_CRITERIA = (
    _stress("min", "Pull-off strength, at least"),
    Field(
        name="statistic",
        label="Compared with the limit",
        kind=Kind.CHOICE,
        choices=("each", "mean"),
        labels={"each": "each test"},
        help="each test unless the plan says otherwise",
    ),
    Field(
        name="protocol",
        label="Protocol (ASTM D4541)",
        kind=Kind.CHOICE,
        choices=("1", "2"),
        labels={"1": "1: pulled to fracture", "2": "2: pulled to the limit and held"},
        help="1 unless the plan says otherwise",
    ),
    Field(
        name="readings_min",
        label="Tests, at least",
        kind=Kind.INTEGER,
        minimum=Decimal(1),
        maximum=Decimal(1000),
        help="tests that say something about the coating; failures of the glue do not count",
    ),
    _dolly("where a test states none of its own"),
    _share(
        "adhesive_share_max",
        "Adhesive fracture, at most",
        "the share of a test's face that came off between two layers",
    ),
    _share("glue_share", "Glue failure from", "50 % of the face unless the plan says otherwise"),
    Field(name="standard", label="Standard and edition", kind=Kind.TEXT),
    *decision_fields(Dimension.PRESSURE, "MPa"),
)

_READING = (
    Field(name="location", label="Place", kind=Kind.TEXT),
    Field(
        name="force",
        label="Force",
        dimension=Dimension.FORCE,
        unit="N",
        us_unit="lbf",
        minimum=Decimal(0),
        maximum=Decimal(1_000_000),
        places=0,
        help="the highest that was reached; or give the strength",
    ),
    _dolly("with a force"),
    _stress("stress", "Strength as the instrument shows it", "instead of force and diameter"),
    Field(
        name="fractured",
        label="Pulled off",
        kind=Kind.BOOLEAN,
        help="no, where the load was let off before anything broke",
        asked_by=("protocol=2",),
    ),
    Field(
        name="fracture",
        label="Nature of fracture",
        kind=Kind.GROUP,
        many=True,
        fields=(
            Field(
                name="nature",
                label="Nature",
                kind=Kind.CHOICE,
                choices=("cohesive", "adhesive", "glue"),
                labels={"cohesive": "cohesive, within a layer", "adhesive": "between two layers"},
                required=True,
            ),
            Field(
                name="layer",
                label="Layer",
                kind=Kind.TEXT,
                help="A steel, B first coat, C second; A/B between the two; Y glue, Z dolly",
            ),
            _share("share", "Share of the face", "together 100 %; not needed for one kind alone"),
        ),
    ),
)

_COMPUTED = (
    _stress("stress", "Strength", per_reading=True),
    Field(name="valid", label="Tests that count", kind=Kind.INTEGER),
    _stress("lowest", "Lowest"),
    _stress("mean", "Mean"),
)

ADHESION = Characteristic(
    key="adhesion",
    title="Adhesion (pull-off)",
    schema_version=1,
    criteria=with_defaults(_CRITERIA, _OFFERED),
    reading=_READING,
    computed=_COMPUTED,
    assess=assess,
    check=check,
    places=Places(rules=("one_each",), least="readings_min"),
    instruments=("pull_off_tester",),
    method=(
        "Test only when coating and glue have cured. Abrade and degrease the place and the dolly, "
        "glue the dolly without air, keep it from moving, and let the glue cure. Where the plan "
        "asks for it, cut round the dolly down to the steel. Pull square to the surface, at a "
        "steady rate, and note the highest force. Then look at both faces and estimate what share "
        "broke within a layer, between two layers, and in the glue. A test in which the glue gave "
        "way below the limit says nothing of the coating: repeat it beside. Usual mistakes: glue "
        "not cured, a dolly pulled askew, the wrong dolly size set, and the fracture not looked at."
    ),
    cautions=(
        "The test destroys the coating where it is made: agree the places and repair them.",
        "The dolly comes off with a jerk: eye protection, and no face in line with the pull.",
        "Never pull on a repair that holds pressure or on a wall thinned by corrosion.",
    ),
)
