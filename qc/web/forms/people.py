"""Entering the certificates of applicators and inspectors."""

from typing import Any

from django import forms

from qc.accounts.models import Membership, Project
from qc.engine.plan import Party
from qc.records.models import Qualification
from qc.web.forms.act import ActForm
from qc.web.forms.days import day_field
from qc.web.forms.lines import line
from qc.web.forms.uploads import UploadField


class QualificationForm(ActForm):
    """What a person may do, in which trade, and until when."""

    beside = {name: name for name in ("trade", "scopes", "valid_until", "user", "file")}

    trade = forms.ChoiceField(
        label="Trade",
        choices=[("applicator", "Applicator"), ("inspector", "Inspector")],
        widget=forms.RadioSelect,
        error_messages={
            "required": "Say whether the person applies or inspects.",
            "invalid_choice": "%(value)s is neither applicator nor inspector.",
        },
    )
    holder = line(
        "Name", Qualification, "holder", missing="Enter the name that is on the certificate."
    )
    user = forms.TypedChoiceField(
        label="Signs in as",
        coerce=int,
        empty_value=None,
        required=False,
        help_text="An inspector's own qualifications are found by this when they record",
        error_messages={"invalid_choice": "The person is not a member of this project."},
    )
    scopes = forms.CharField(
        label="Scopes",
        widget=forms.Textarea({"rows": 3}),
        max_length=1000,
        help_text="One a line, in the words of the plan, such as: composite wrap",
        error_messages={
            "required": "Say what the certificate covers, one scope a line.",
            "max_length": "Scopes: %(show_value)d characters are more than 1000.",
        },
    )
    certificate = line(
        "Number of the certificate",
        Qualification,
        "certificate",
        missing="Enter the number of the certificate.",
    )
    issued_by = line("Issued by", Qualification, "issued_by", required=False)
    valid_from = day_field("Valid from", "Enter the first day on which it holds.")
    valid_until = day_field("Valid until", "Enter the last day on which it holds.")
    file = UploadField("Certificate")

    def __init__(self, project: Project, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        members = Membership.objects.filter(project=project, party=Party.INSPECTOR)
        people = [(m.user_id, m.user.printed_name) for m in members.select_related("user")]
        user = self.fields["user"]
        user.choices = [("", "Nobody here"), *people]  # type: ignore[attr-defined]

    def said(self) -> dict[str, Any]:
        """The arguments of the act."""
        told = super().said()
        told["user_id"] = told.pop("user")
        return {**told, "scopes": told["scopes"].splitlines()}
