"""What is looked for in the register of repairs; it stands in the address, so it can be kept."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from qc.accounts.models import Project, User
from qc.engine.lifecycle import Status
from qc.records.particulars import DEFECT_TYPES
from qc.records.queries import repairs_visible_to
from qc.records.search import MOST_WORDS, SORTS, Search
from qc.web.forms.days import day_field
from qc.web.status import status_word

_ANY = ("", "Any")
_LATEST = date(9999, 12, 30)


class SearchForm(forms.Form):
    """Words and filters; everything may be left empty."""

    use_required_attribute = False
    nothing_is_asked = True
    """Every field may be left empty: no label has to say so."""

    q = forms.CharField(
        label="Search",
        required=False,
        max_length=200,
        help_text="Number, title, component, line, defect, certificate, batch or instrument",
        widget=forms.TextInput({"type": "search", "autocomplete": "off"}),
        error_messages={"max_length": "Search: %(show_value)d characters are more than 200."},
    )
    project = forms.ChoiceField(label="Project", required=False)
    status = forms.ChoiceField(
        label="Status", required=False, choices=[_ANY, *((str(s), status_word(s)) for s in Status)]
    )
    repair_class = forms.ChoiceField(label="Repair class", required=False)
    defect_type = forms.ChoiceField(
        label="Kind of defect", required=False, choices=[_ANY, *DEFECT_TYPES.items()]
    )
    due_by = day_field("Next inspection due by", "", required=False)
    released_from = day_field("Released from", "", required=False)
    released_to = day_field("Released until", "", required=False)
    with_open_reports = forms.BooleanField(
        label="Only with an open nonconformance report", required=False
    )
    sort = forms.ChoiceField(
        label="Order", required=False, choices=[(key, words) for key, (words, _) in SORTS.items()]
    )

    def __init__(self, user: User, projects: Sequence[Project], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        classes = repairs_visible_to(user).exclude(repair_class="").order_by("repair_class")
        known = classes.values_list("repair_class", flat=True).distinct()
        self._offer("project", [(str(project.pk), str(project)) for project in projects])
        self._offer("repair_class", [(name, name) for name in known])
        for name in ("project", "status", "repair_class", "defect_type", "sort"):
            label = self.fields[name].label
            self.fields[name].error_messages = {
                "invalid_choice": f"{label}: %(value)s is none of those to choose from."
            }

    def _offer(self, name: str, choices: list[tuple[str, str]]) -> None:
        self.fields[name].choices = [_ANY, *choices]  # type: ignore[attr-defined]

    def clean_q(self) -> str:
        """Words that are all looked for."""
        text = str(self.cleaned_data["q"])
        if (count := len(text.split())) > MOST_WORDS:
            raise ValidationError(f"{count} words are more than {MOST_WORDS}: leave some out.")
        return text

    def clean_released_to(self) -> date | None:
        """A day that has a day after it, not before the first."""
        until, since = self.cleaned_data["released_to"], self.cleaned_data.get("released_from")
        if until and since and until < since:
            raise ValidationError(f"{until.isoformat()} is before {since.isoformat()}.")
        if until and until > _LATEST:
            raise ValidationError(f"{until.isoformat()} lies beyond the calendar.")
        return until

    def said(self) -> Search:
        """What a valid form asks."""
        asked = dict(self.cleaned_data)
        project = asked.pop("project")
        return Search(
            text=asked.pop("q"),
            project=int(project) if project else None,
            sort=asked.pop("sort") or "number",
            **asked,
        )

    @property
    def filters_set(self) -> bool:
        """Whether anything but words and order is asked for."""
        return any(self[name].data for name in self.fields if name not in ("q", "sort"))
