"""What a reading of a wrap holds, and what is computed."""

from dataclasses import replace
from decimal import Decimal

from qc.engine.characteristics.wrap.criteria import (
    ABOVE_ZERO,
    count,
    length,
    overlap,
    seconds,
    surface_temperature,
)
from qc.engine.fields import Field, Kind

PARTS = {
    "pad": "seal pad",
    "band": "retaining band",
    "roll": "roll",
    "wrap": "finished wrap",
}


def _asked(field: Field, *asked_by: str) -> Field:
    return replace(field, asked_by=asked_by)


def _of(part: str, *fields: Field) -> tuple[Field, ...]:
    return tuple(replace(field, only_where=f"part={part}") for field in fields)


def _two(field: Field) -> Field:
    return replace(field, many=True, usual=2)


_LAYERS = ("layers_min", "design_thickness")

READING = (
    Field(
        name="part",
        label="Part",
        kind=Kind.CHOICE,
        choices=tuple(PARTS),
        labels=PARTS,
        required=True,
        help="One reading for each; the fields below follow what is chosen",
    ),
    Field(
        name="location", label="Place", kind=Kind.TEXT, help="Clock position, or which roll or band"
    ),
    *_of(
        "pad",
        _asked(
            _two(length("defect_size", "Pad: defect, along and round", least=ABOVE_ZERO)),
            "pad_extent_min",
        ),
        _asked(
            _two(length("pad_size", "Pad: size, along and round", "In the same order")),
            "pad_extent_min",
        ),
        _asked(length("backing", "Pad: backing sheet"), "backing_min", "backing_max"),
    ),
    *_of(
        "band",
        _asked(
            count("fasteners", "Band: fasteners", least=0),
            "fasteners_min",
            "fasteners_by_diameter",
        ),
        _asked(
            length("spacing", "Band: distance to the next", "None for the last band"),
            "band_spacing_min",
            "band_spacing_max",
        ),
    ),
    *_of(
        "roll",
        _asked(seconds("soak", "Roll: soaked for"), "soak_min", "soak_max"),
        _asked(seconds("knead", "Roll: kneaded for"), "knead_min", "knead_max"),
        _asked(
            surface_temperature("surface_temperature", "Roll: pipe surface", Kind.QUANTITY, ""),
            "working_time",
        ),
        _asked(
            seconds("worked", "Roll: laid down within", "From out of the water to the last turn"),
            "working_time",
        ),
        _asked(
            length("start_offset", "First roll: begun before the leak", "Only of the first roll"),
            "start_offset_min",
            "start_offset_max",
        ),
        _asked(
            overlap("overlap", "Roll: overlap", "The least seen, of the width"),
            "overlap_min",
            *_LAYERS,
        ),
        _asked(
            length("overlap_width", "Roll: overlap as a length", "Instead of the share"),
            "roll_width",
        ),
    ),
    *_of(
        "wrap",
        _asked(
            count("passes", "Wrap: passes", "Over the whole length", least=0),
            *_LAYERS,
        ),
        _asked(
            count("layers", "Wrap: layers counted", "At one place", least=0),
            *_LAYERS,
        ),
        _asked(
            _two(length("overlap_length", "Wrap: beyond the defect", "At each end")),
            "overlap_length_min",
        ),
        _asked(length("length", "Wrap: length"), "length_min"),
    ),
)


def _number(name: str, label: str, per_reading: bool = False) -> Field:
    return Field(name=name, label=label, kind=Kind.NUMBER, places=2, per_reading=per_reading)


def _information(name: str, label: str) -> Field:
    return replace(length(name, f"{label}, for information"), places=2)


COMPUTED = (
    _number("pad_extent", "Pad, times the defect", per_reading=True),
    replace(seconds("working_time", "Working time"), per_reading=True),
    replace(overlap("overlap", "Overlap"), per_reading=True),
    _number("layers", "Layers laid, by passes / (1 - overlap) or counted", per_reading=True),
    Field(name="layers_asked", label="Layers asked for", kind=Kind.INTEGER, minimum=Decimal(0)),
    _information("overlap_iso", "Overlap 2·√(D·t)"),
    _information("overlap_pcc2", "Overlap 2.5·√(D·t/2)"),
    _information("extent_iso", "Length with the overlap 2·√(D·t)"),
    _information("extent_pcc2", "Length with the overlap 2.5·√(D·t/2)"),
)
