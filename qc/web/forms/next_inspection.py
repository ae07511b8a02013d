"""Setting the day by which a repair is inspected next."""

from typing import Any

from django import forms

from qc.records.models import InspectionDue
from qc.web.forms.act import ActForm
from qc.web.forms.days import day_field
from qc.web.forms.lines import paragraph


class NextInspectionForm(ActForm):
    """The day, or that there is no more; and why."""

    beside = {"due_on": "due_on", "reason": "reason"}

    due_on = day_field("Next inspection by", "", required=False)
    no_more = forms.BooleanField(label="No further inspection", required=False)
    reason = paragraph(
        "Why",
        InspectionDue,
        "reason",
        missing="Say why: what the last inspection found, or which rule asks for the day.",
        help_text="Such as what the last inspection found, or the rule that asks for this day",
    )

    def clean(self) -> dict[str, Any]:
        """A day or none, and not both."""
        said = super().clean() or self.cleaned_data
        if said.get("no_more") and said.get("due_on"):
            self.add_error("due_on", "Give a day or say that there is no more, not both.")
        elif not said.get("no_more") and "due_on" in said and not said["due_on"]:
            self.add_error("due_on", "Give the day, or say below that there is no more.")
        return said

    def said(self) -> dict[str, Any]:
        """The arguments of the act."""
        return {"due_on": self.cleaned_data["due_on"], "reason": self.cleaned_data["reason"]}
