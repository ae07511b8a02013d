"""The fields of one reading in a form: named after their row, gathered into the case format."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from dataclasses import field as item
from typing import Any

from django import forms

from qc.engine.fields import Field, Kind
from qc.web.forms.entries import Entry, Setting, entry_for

GROUP_LINES = 2
"""How many lines of a group there is room for at first."""

TAKEN_AT = "at"
"""The field that says when a reading was taken, where a characteristic has one."""


@dataclass(frozen=True, kw_only=True)
class Line:
    """A named field of a row, or of a line of a group in it."""

    name: str
    declared: Field


@dataclass(frozen=True, kw_only=True)
class Row:
    """One reading to enter. `fixed` are values that the plan gives, such as a checklist's item.

    `is_asked` says by name which fields the criteria ask for; a text may stay empty all the same.
    """

    number: int
    fields: tuple[Field, ...]
    fixed: Mapping[str, str] = item(default_factory=dict)
    is_asked: Mapping[str, bool] = item(default_factory=dict)
    title: str = ""
    asked: str = ""
    source: str = ""
    group_lines: int = GROUP_LINES

    @property
    def prefix(self) -> str:
        """What the names of the row's form fields begin with."""
        return f"r{self.number}"

    @property
    def lines(self) -> tuple[Line, ...]:
        """Every field that holds a value, those of groups line by line."""
        return tuple(self._lines(self.fields, self.prefix))

    def _lines(self, fields: Sequence[Field], prefix: str) -> Iterator[Line]:
        for declared in fields:
            name = f"{prefix}-{declared.name}"
            if declared.kind is Kind.GROUP:
                for number in range(self.group_lines):
                    yield from self._lines(declared.fields, f"{name}-{number}")
            else:
                yield Line(name=name, declared=declared)

    def entries(self, setting: Setting) -> dict[str, Entry]:
        """The form fields of the row by name."""
        entries = {}
        for line in self.lines:
            asked = self.is_asked.get(line.declared.name, False)
            needed = line.declared.required or (asked and line.declared.kind is not Kind.TEXT)
            entry = entry_for(replace(line.declared, required=needed), setting)
            entry.row_title = self.title
            entries[line.name] = entry
        return entries

    def names_of(self, declared: Field) -> list[str]:
        """The names of the form fields that belong to one declared field."""
        start = f"{self.prefix}-{declared.name}"
        return [
            line.name
            for line in self.lines
            if line.name == start or line.name.startswith(f"{start}-")
        ]

    def gathered(self, values: Mapping[str, Any]) -> dict[str, Any]:
        """The reading in the case format from cleaned values by name; empty ones are left out."""
        found = self._gathered(self.fields, self.prefix, values)
        return {**self.fixed, **found} if found else {}

    def _gathered(
        self, fields: Sequence[Field], prefix: str, values: Mapping[str, Any]
    ) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for declared in fields:
            name = f"{prefix}-{declared.name}"
            if declared.kind is Kind.GROUP:
                lines = [
                    self._gathered(declared.fields, f"{name}-{number}", values)
                    for number in range(self.group_lines)
                ]
                value: Any = [line for line in lines if line]
            else:
                value = values.get(name)
            if value not in (None, "", []):
                found[declared.name] = value
        return found

    def lacking(self, values: Mapping[str, Any]) -> list[str]:
        """The names of required form fields that are empty in a row, or group line, in use."""
        return self._lacking(self.fields, self.prefix, values)

    def _lacking(
        self, fields: Sequence[Field], prefix: str, values: Mapping[str, Any]
    ) -> list[str]:
        found = []
        for declared in fields:
            name = f"{prefix}-{declared.name}"
            if declared.kind is Kind.GROUP:
                for number in range(self.group_lines):
                    line = f"{name}-{number}"
                    if self._gathered(declared.fields, line, values):
                        found += self._lacking(declared.fields, line, values)
            elif declared.required and values.get(name) in (None, "", []):
                found.append(name)
        return found

    def entered(
        self, reading: Mapping[str, Any], form_fields: Mapping[str, Entry]
    ) -> dict[str, Any]:
        """What one would enter for a stored reading, by name of the form field."""
        return dict(self._entered(self.fields, self.prefix, reading, form_fields))

    def _entered(
        self,
        fields: Sequence[Field],
        prefix: str,
        reading: Mapping[str, Any],
        form_fields: Mapping[str, Entry],
    ) -> Iterator[tuple[str, Any]]:
        for declared in fields:
            name, stored = f"{prefix}-{declared.name}", reading.get(declared.name)
            if stored in (None, "", []):
                continue
            if declared.kind is Kind.GROUP:
                for number, line in enumerate(stored):
                    yield from self._entered(declared.fields, f"{name}-{number}", line, form_fields)
            else:
                yield name, form_fields[name].entered(stored)


def bound(form: forms.Form, names: Sequence[str]) -> list[forms.BoundField]:
    """The fields of a form by name."""
    return [form[name] for name in names]
