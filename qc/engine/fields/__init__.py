"""Fields of criteria and readings: declared once, parsed, described as JSON Schema."""

from qc.engine.fields.field import Field, InvalidValue, Kind
from qc.engine.fields.offers import with_defaults
from qc.engine.fields.parse import parse_fields, plain
from qc.engine.fields.schema import object_schema
from qc.engine.fields.values import Values

__all__ = [
    "Field",
    "InvalidValue",
    "Kind",
    "Values",
    "object_schema",
    "parse_fields",
    "plain",
    "with_defaults",
]
