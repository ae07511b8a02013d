"""Form fields for criteria: those of readings, and tables, groups and pairs a row a line."""

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django import forms

from qc.engine.fields import Field, InvalidValue, Kind
from qc.engine.quantities import Dimension
from qc.engine.wording import quantity_text
from qc.web.forms.entries import Entry, Setting, TextEntry, entry_for
from qc.web.forms.figures import Unclear, figure_in

_LEAST_ROWS = 3


class LinesEntry(Entry):
    """Rows of plain text; what is wrong in one names its line."""

    def __init__(self, field: Field, setting: Setting) -> None:
        super().__init__(field, forms.Textarea({"rows": _LEAST_ROWS}))
        self.setting = setting

    def has_changed(self, initial: Any, data: Any) -> bool:
        return _lines(initial or "") != _lines(data or "")

    def stored(self, value: str) -> Any:
        return self.gathered([self._read(n, text) for n, text in enumerate(_lines(value), start=1)])

    def entered(self, stored: Any) -> str:
        rows = [self.written(row) for row in self.rows_of(stored)]
        self.widget.attrs["rows"] = max(_LEAST_ROWS, len(rows) + 1)
        return "\n".join(rows)

    def _read(self, number: int, text: str) -> Any:
        try:
            return self.read(text)
        except (InvalidValue, Unclear) as refusal:
            problem = refusal.problem if isinstance(refusal, InvalidValue) else str(refusal)
            raise Unclear(f"Line {number}: {problem}") from None

    def rows_of(self, stored: Any) -> Sequence[Any]:
        """The rows of a stored value."""
        return stored if isinstance(stored, list) else [stored]

    def read(self, text: str) -> Any:
        """One row from its line. InvalidValue or Unclear where it is none."""
        raise NotImplementedError

    def written(self, row: Any) -> str:
        """The line for one row."""
        raise NotImplementedError

    def gathered(self, rows: list[Any]) -> Any:
        """The stored value from its rows."""
        return rows


class PairsEntry(LinesEntry):
    """Pairs of choices: "SP 6 = SP 11"."""

    def __init__(self, field: Field, setting: Setting) -> None:
        super().__init__(field, setting)
        self.help_text = f"One pair a line, such as {field.choices[0]} = {field.choices[1]}"

    def rows_of(self, stored: Any) -> Sequence[Any]:
        single = isinstance(stored, str) or all(isinstance(part, str) for part in stored)
        is_pair = not isinstance(stored, str) and not any("=" in str(part) for part in stored)
        return [stored] if single and (isinstance(stored, str) or is_pair) else stored

    def read(self, text: str) -> list[str]:
        first, sign, second = text.partition("=")
        if not sign:
            raise Unclear(f"{text[:40]} has no = between the two")
        pair = [first.strip(), second.strip()]
        self.checked([pair])
        return pair

    def written(self, row: Any) -> str:
        return row if isinstance(row, str) else " = ".join(row)


class TableEntry(LinesEntry):
    """Times by temperature: "20 °C = 60 min"."""

    def __init__(self, field: Field, setting: Setting) -> None:
        super().__init__(field, setting)
        example = "68 °F" if setting.units == "us" else "20 °C"
        self.help_text = f"One row a line with its units, such as {example} = 60 min"

    def rows_of(self, stored: Any) -> Sequence[Any]:
        return list(stored.items()) if isinstance(stored, Mapping) else stored

    def read(self, text: str) -> tuple[str, str]:
        left, sign, right = text.partition("=")
        if not sign:
            raise Unclear(f"{text[:40]} has no = between temperature and time")
        return (
            _with_unit(left, self.declared.dimension, self.declared.unit),
            _with_unit(right, Dimension.TIME, "min"),
        )

    def written(self, row: Any) -> str:
        return " = ".join(quantity_text(part) for part in row)

    def gathered(self, rows: list[Any]) -> dict[str, str]:
        found = dict(rows)
        if len(found) < len(rows):
            raise Unclear("a temperature stands twice in the table")
        return found


class GroupEntry(LinesEntry):
    """Rows of several members: "over the leak = 10 mm | Readings, at least: 4"."""

    def __init__(self, field: Field, setting: Setting) -> None:
        super().__init__(field, setting)
        first, second, *others = field.fields
        more = "".join(f" | {member.label}: …" for member in others)
        self.help_text = f"One row a line: {first.label} = {second.label}{more}"

    def read(self, text: str) -> dict[str, Any]:
        first, second, *others = self.declared.fields
        name, sign, rest = text.partition("=")
        if not sign:
            raise Unclear(f"{text[:40]} has no = between {first.label} and {second.label}")
        value, *labelled = (part.strip() for part in rest.split("|"))
        found = {first.name: self._member(first, name.strip())}
        if value:
            found[second.name] = self._member(second, value)
        for part in labelled:
            member, said = _labelled(part, others)
            found[member.name] = self._member(member, said)
        return found

    def _member(self, member: Field, text: str) -> Any:
        if member.kind is Kind.QUANTITY:
            return _with_unit(text, member.dimension, member.unit)
        return entry_for(member, self.setting).stored(text)

    def written(self, row: Mapping[str, Any]) -> str:
        first, second, *others = self.declared.fields
        more = [f"{m.label}: {_said(m, row[m.name])}" for m in others if row.get(m.name)]
        value = _said(second, row[second.name]) if row.get(second.name) else ""
        return " | ".join([f"{row[first.name]} = {value}".strip(), *more])


def _with_unit(text: str, dimension: Dimension | None, usual: str) -> str:
    """A quantity whose unit was typed: in rows of text no unit stands beside the figure."""
    figure = figure_in(text, dimension, usual)
    if not figure.unit:
        raise Unclear(f"{text.strip()[:40]} has no unit: type it as {quantity_text(f'10 {usual}')}")
    return f"{figure.digits} {figure.unit}"


def _labelled(part: str, members: Sequence[Field]) -> tuple[Field, str]:
    label, _, said = part.partition(":")
    for member in members:
        if member.label.casefold() == label.strip().casefold() and said.strip():
            return member, said.strip()
    known = ", ".join(f"{member.label}: …" for member in members) or "nothing more"
    raise Unclear(f"{part[:40]} is not known here; what can follow is: {known}")


def _lines(text: str) -> list[str]:
    return [stripped for line in text.splitlines() if (stripped := line.strip())]


def _said(member: Field, stored: Any) -> str:
    return quantity_text(stored) if member.kind is Kind.QUANTITY else str(stored)


class ChoiceOrFigureEntry(TextEntry):
    """A choice, or a quantity in its place."""

    def __init__(self, field: Field, setting: Setting) -> None:
        super().__init__(field, setting)
        self.help_text = f"{', '.join(field.choices)}; or a figure such as 30 {field.unit}"

    def entered(self, stored: Any) -> str:
        return quantity_text(str(stored))

    def stored(self, value: str) -> str:
        if not re.match(r"\s*[-+]?[\d.,]", value):
            return value.strip()
        figure = figure_in(value, self.declared.dimension, self.declared.unit)
        return f"{figure.digits} {figure.unit or self.declared.unit}"


_IN_LINES: Mapping[Kind, Callable[[Field, Setting], Entry]] = {
    Kind.TABLE: TableEntry,
    Kind.GROUP: GroupEntry,
    Kind.PAIR: PairsEntry,
}


def criterion_entry(field: Field, setting: Setting) -> Entry:
    """The form field for one criterion."""
    if field.kind in _IN_LINES:
        return _IN_LINES[field.kind](field, setting)
    if field.kind is Kind.CHOICE and field.dimension is not None:
        return ChoiceOrFigureEntry(field, setting)
    entry = entry_for(field, setting)
    if isinstance(entry.widget, forms.RadioSelect | forms.Select):
        given = [choice for choice in entry.widget.choices if choice[0]]
        entry.widget = forms.Select(choices=[("", "Not stated"), *given])
    return entry
