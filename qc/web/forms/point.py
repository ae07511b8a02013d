"""Closing an intervention point."""

from typing import Any

from django import forms

from qc.engine.plan import Intervention
from qc.web.forms.act import ActForm
from qc.workflow import Manner
from qc.workflow.points import MANNERS

_WORDS = {
    Manner.RELEASED: "Release the hold: work may go on",
    Manner.ATTENDED: "Attended: I was there",
    Manner.WAIVED: "Waived: work goes on without us (say why)",
    Manner.REVIEWED: "Reviewed: I have read the record",
}


class PointForm(ActForm):
    """How the point is closed, and a note."""

    manner = forms.TypedChoiceField(
        label="How is the point closed?",
        coerce=Manner,
        widget=forms.RadioSelect,
        error_messages={"required": "Choose how the point is closed."},
    )
    note = forms.CharField(
        label="Note",
        required=False,
        max_length=500,
        widget=forms.Textarea({"rows": 3}),
        help_text="It stands in the record; waiving needs a reason",
        error_messages={"max_length": "%(show_value)d characters are more than 500."},
    )

    def __init__(self, intervention: Intervention, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        manners = MANNERS[intervention]
        manner = self.fields["manner"]
        manner.choices = [(m.value, _WORDS[m]) for m in manners]  # type: ignore[attr-defined]
        if len(manners) == 1:
            manner.initial = manners[0].value
