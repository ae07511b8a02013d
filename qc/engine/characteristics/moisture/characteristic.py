"""Residual moisture, declared: what is asked, what is seen, and how to look."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics.moisture.rules import METHODS, TABLES, assess
from qc.engine.fields import Field, Kind

MOISTURE = Characteristic(
    key="moisture",
    title="Residual moisture",
    schema_version=1,
    criteria=(
        Field(
            name="methods",
            label="Methods",
            kind=Kind.CHOICE,
            choices=METHODS,
            labels=TABLES["methods"],
            many=True,
            help="any of these; any at all where the plan names none",
        ),
        Field(
            name="readings_min",
            label="Places, at least",
            kind=Kind.INTEGER,
            minimum=Decimal(1),
            maximum=Decimal(1000),
        ),
    ),
    reading=(
        Field(name="location", label="Place", kind=Kind.TEXT),
        Field(
            name="method",
            label="Method",
            kind=Kind.CHOICE,
            choices=METHODS,
            labels=TABLES["methods"],
            required=True,
        ),
        Field(name="moist", label="Moisture found", kind=Kind.BOOLEAN, required=True),
        Field(name="remark", label="Remark", kind=Kind.TEXT, help="What was seen and where"),
    ),
    computed=(Field(name="moist", label="Places with moisture", kind=Kind.INTEGER),),
    assess=assess,
    method=(
        "Look along the surface against the light for a film, drops and a darker tint; touch it "
        "with a dry white cloth; look at the lowest and the coldest places, crevices, under bands "
        "and at the ends of pits, where water creeps out again. A clear sheet taped down for a "
        "while shows water that condenses. Judge just before the first coat, and again where work "
        "was interrupted. Usual mistakes: judging the sunny side only, a surface dried on top over "
        "wet pits, and steel that sweats once the heater is taken away."
    ),
    cautions=(
        "Dry with heat only where neither pipe, contents nor the air around can take fire.",
        "A surface that keeps turning wet may be leaking: stop, and tell the owner.",
    ),
)
