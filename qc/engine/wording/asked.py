"""The criteria of a step in words, each with its source."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any

from qc.engine.characteristic import NO_SOURCE, Characteristic
from qc.engine.fields import Field, Kind
from qc.engine.rules import counted
from qc.engine.wording.values import value_text


@dataclass(frozen=True, kw_only=True)
class Asked:
    """One criterion: what it is called, what it asks, perhaps in several lines, and the source."""

    name: str
    label: str
    text: str
    lines: tuple[str, ...] = ()
    source: str = ""


def asked_of(
    characteristic: Characteristic,
    criteria: Mapping[str, Any],
    sources: Mapping[str, str],
    zone: tzinfo,
) -> tuple[Asked, ...]:
    """The criteria that a plan sets, in the order in which the characteristic declares them.

    `criteria` and `sources` are those of the case format.
    """
    return tuple(
        _asked(field, criteria[field.name], sources.get(field.name) or NO_SOURCE, zone)
        for field in characteristic.criteria
        if criteria.get(field.name) not in (None, "", [])
    )


def _asked(field: Field, stored: Any, source: str, zone: tzinfo) -> Asked:
    if field.kind is Kind.GROUP and field.many:
        lines = tuple(value_text(field, [_less(item, source)], zone) for item in stored)
        text = counted(len(lines), "line")
        return Asked(name=field.name, label=field.label, text=text, lines=lines, source=source)
    text = value_text(field, stored, zone)
    return Asked(name=field.name, label=field.label, text=text, source=source)


def _less(item: Mapping[str, Any], source: str) -> dict[str, Any]:
    """A line of a group without a source that is the criterion's own, which stands once."""
    return {name: value for name, value in item.items() if (name, value) != ("source", source)}
