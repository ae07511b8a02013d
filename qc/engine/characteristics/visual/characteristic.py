"""Declares visual and dimensional inspection."""

from decimal import Decimal

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics.visual.rules import assess, check
from qc.engine.fields import Field, Kind
from qc.engine.quantities import Dimension


def _dimension(name: str, label: str, text: str, asked_by: tuple[str, ...] | None = None) -> Field:
    return Field(
        name=name,
        label=label,
        dimension=Dimension.LENGTH,
        unit="mm",
        us_unit="in",
        minimum=Decimal(0),
        help=text,
        asked_by=asked_by,
    )


VISUAL = Characteristic(
    key="visual",
    title="Visual and dimensions",
    schema_version=1,
    criteria=(
        Field(
            name="items",
            label="Checklist",
            kind=Kind.GROUP,
            many=True,
            help="Every line is answered with accept or reject",
            fields=(
                Field(name="item", label="Item", kind=Kind.TEXT, required=True),
                Field(name="asked", label="What is asked", kind=Kind.TEXT),
                _dimension("min", "Least", "Then the item is measured"),
                _dimension("max", "Most", "Then the item is measured"),
                Field(name="source", label="Source", kind=Kind.TEXT),
            ),
        ),
    ),
    reading=(
        Field(
            name="item",
            label="Item",
            kind=Kind.TEXT,
            required=True,
            help="The line of the checklist that is answered",
        ),
        Field(name="accepted", label="Accepted", kind=Kind.BOOLEAN, required=True),
        Field(
            name="remark",
            label="Remark",
            kind=Kind.TEXT,
            help="What was seen and where; required when the item is rejected",
        ),
        _dimension(
            "value",
            "Dimension",
            "At its worst place; required where a limit is set",
            ("min", "max"),
        ),
        Field(
            name="measured",
            label="Measured",
            kind=Kind.TEXT,
            help="What else was measured, with its unit",
            asked_by=(),
        ),
    ),
    computed=(
        Field(name="accepted", label="Accepted", kind=Kind.INTEGER),
        Field(name="rejected", label="Rejected", kind=Kind.INTEGER),
        Field(name="open", label="Not answered", kind=Kind.INTEGER),
    ),
    check=check,
    assess=assess,
    instruments=("caliper", "depth_gauge", "reference_photographs"),
    method=(
        "Look at the whole repair in good light, square on and then along the surface, from one "
        "end to the other and round the back. Answer every line of the list. Where a line asks "
        "for a dimension, measure it at its worst place and write it with its unit. Reject what "
        "you doubt and say what you saw and where (distance and clock position). Usual mistakes: "
        "looking at the front only, inspecting before the dust is off, and accepting a line that "
        "cannot be reached or seen."
    ),
    cautions=(
        "A repair under pressure can fail without notice: stand clear of seams and ends, and keep "
        "hands away from a suspected leak.",
        "Pipe and curing material can be hot enough to burn.",
    ),
)
