"""Forms that ask what an estimate or a proposal needs. They are sent by GET and record nothing."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.http import QueryDict

from qc.engine.fields import Field, InvalidValue, Kind
from qc.web.forms.criteria import TableEntry
from qc.web.forms.entries import Entry, FigureEntry, Setting, entry_for
from qc.web.templatetags.parts import printed

ASKED = "asked"
"""In an address that holds an answered form; without it the figures there are only offered."""


class AskingForm(forms.Form):
    """A field for each declared one, under its own name, so that the address can be shared.

    `known` are values in the case format that the record has; figures of the address come first.
    `answer` is what the engine says, None while nothing was asked or something is wrong.
    """

    use_required_attribute = False

    asked = forms.CharField(required=False, initial="yes", widget=forms.HiddenInput)

    def __init__(
        self,
        declared: Sequence[Field],
        setting: Setting,
        data: QueryDict,
        known: Mapping[str, Any],
    ) -> None:
        super().__init__(data if ASKED in data else None)
        self.answer: Mapping[str, Any] | None = None
        self.declared, self.setting = declared, setting
        for field in declared:
            entry = _entry(field, setting)
            entry.initial = _offered(entry, data.get(field.name), known.get(field.name))
            self.fields[field.name] = entry

    def ask(self, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """The engine's answer to what was given, in the case format. InvalidValue where none."""
        raise NotImplementedError

    def clean(self) -> dict[str, Any]:
        """The answer, or beside its field what stands in the way of one."""
        super().clean()
        self.check()
        if not self.errors:
            try:
                self.answer = self.ask(self.given())
            except InvalidValue as refusal:
                self.refuse(refusal)
        return self.cleaned_data

    def check(self) -> None:
        """Say of every field that is needed and empty that it is missing."""
        for field in self.declared:
            if field.required:
                self.miss(field.name)

    def miss(self, name: str) -> None:
        """Say that a field is missing, if it is, and nothing else is wrong with it."""
        if name not in self.errors and self.cleaned_data.get(name) in (None, {}):
            self.add_error(name, f"{self.fields[name].label} is missing: enter it.")

    def given(self) -> dict[str, Any]:
        """What was entered, in the case format."""
        values = {field.name: self.cleaned_data.get(field.name) for field in self.declared}
        return {name: value for name, value in values.items() if value not in (None, {})}

    def refuse(self, refusal: InvalidValue) -> None:
        """Put a refusal of the engine beside the field it names."""
        name = refusal.path.rpartition(".")[2]
        problem = printed(refusal.problem)
        if name in self.fields:
            self.add_error(name, f"{self.fields[name].label} {problem}.")
        else:
            self.add_error(None, f"{problem[:1].upper()}{problem[1:]}.")

    def needs(self, *names: str) -> None:
        """Do not mark these as optional: which of them is needed depends on the others."""
        for name in names:
            self.fields[name].required = True


def _offered(entry: Entry, written: str | None, stored: Any) -> Any:
    """What stands in the box at first: a figure without the unit that is printed beside it."""
    if written:
        return entry.entered(written) if isinstance(entry, FigureEntry) else written
    return entry.entered(stored) if stored else None


def _entry(field: Field, setting: Setting) -> Entry:
    return TableEntry(field, setting) if field.kind is Kind.TABLE else entry_for(field, setting)
