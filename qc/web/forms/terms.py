"""The project's own code and wording of each intervention, and the notice its points want."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.http import QueryDict

from qc.engine.fields import InvalidValue
from qc.engine.plan import Hours, Intervention, terms_of
from qc.web.forms.edition import EditionForm

_HOURS = [(str(Hours.CALENDAR), "Calendar hours"), (str(Hours.WORKING), "Working hours")]
_CALLED = (Intervention.HOLD, Intervention.WITNESS)
"""Those that a party comes to, and is told of."""


class TermsForm(EditionForm):
    """A group of fields for each intervention; what is left empty stays as it usually is."""

    def __init__(
        self, terms: Mapping[str, Any], edition: int, data: QueryDict | None = None
    ) -> None:
        super().__init__(edition, data)
        for intervention, stated in terms_of(terms).items():
            for column, field in _fields(intervention).items():
                field.initial = stated.as_case()[column]
                self.fields[f"{intervention}-{column}"] = field
        self.judge_live()

    @property
    def groups(self) -> list[dict[str, Any]]:
        """The fields by intervention."""
        return [
            {
                "name": intervention.capitalize(),
                "fields": [self[f"{intervention}-{column}"] for column in _fields(intervention)],
            }
            for intervention in Intervention
        ]

    def clean(self) -> dict[str, Any]:
        """What the engine says against it stands at the field it names."""
        super().clean()
        if not self.errors:
            try:
                terms_of(self.made())
            except InvalidValue as refusal:
                _, intervention, *column = refusal.path.split(".")
                beside = f"{intervention}-{column[0] if column else 'code'}"
                self.add_error(beside if beside in self.fields else None, refusal.problem)
        return self.cleaned_data

    def made(self) -> dict[str, dict[str, Any]]:
        """The terms, as a plan keeps them."""
        found: dict[str, dict[str, Any]] = {}
        for intervention in Intervention:
            said = {
                column: self.cleaned_data.get(f"{intervention}-{column}")
                for column in _fields(intervention)
            }
            found[intervention] = {
                column: value for column, value in said.items() if value not in ("", None)
            }
        return found


def _fields(intervention: Intervention) -> dict[str, forms.Field]:
    shared: dict[str, forms.Field] = {
        "code": forms.CharField(
            label="Code", max_length=4, error_messages={"required": "Say by which code it goes."}
        ),
        "wording": forms.CharField(
            label="Meaning",
            max_length=300,
            widget=forms.Textarea({"rows": 2}),
            error_messages={"required": "Say what the code means in this project."},
        ),
    }
    if intervention not in _CALLED:
        return shared
    return shared | {
        "needs_notice": forms.BooleanField(
            label="The party is told before; later work waits for the moment", required=False
        ),
        "notice": forms.CharField(
            label="Notice, at least", required=False, help_text="With its unit, such as 24 hour"
        ),
        "hours": forms.ChoiceField(label="Counted in", choices=_HOURS),
        "source": forms.CharField(
            label="Source of the notice period", required=False, max_length=300
        ),
        "lapses": forms.BooleanField(
            label="The point lapses once that moment has passed without the party", required=False
        ),
    }
