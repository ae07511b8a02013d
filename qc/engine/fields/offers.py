"""Figures of common practice or from memory, offered to whoever writes a plan."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from qc.engine.fields.field import Field


def with_defaults(
    fields: Sequence[Field], offers: Mapping[str, Mapping[str, Any]]
) -> tuple[Field, ...]:
    """`fields`, those named in `offers` with the `value` and `source` that stand there.

    KeyError where an offer is for no field, or lacks its source.
    """
    unknown = set(offers) - {field.name for field in fields}
    if unknown:
        raise KeyError(f"no field takes the default of {', '.join(sorted(unknown))}")
    return tuple(
        replace(
            field,
            default=offers[field.name]["value"],
            default_source=offers[field.name]["source"],
        )
        if field.name in offers
        else field
        for field in fields
    )
