"""Signing the record with the password again, and sending it back with a reason."""

from typing import Any

from django import forms

from qc.records.models import Return
from qc.web.forms.act import ActForm
from qc.web.forms.lines import paragraph


class SignForm(ActForm):
    """The password, and the digest of the record that the page shows."""

    beside = {"password": "password"}

    seen_digest = forms.CharField(widget=forms.HiddenInput)
    password = forms.CharField(
        label="Your password",
        strip=False,
        help_text="The same as for signing in: it stands for your hand",
        widget=forms.PasswordInput({"autocomplete": "current-password"}),
        error_messages={"required": "Enter your password."},
    )

    def show(self, digest: str) -> None:
        """Carry the digest of what the page shows now, also where another was sent."""
        self.fields["seen_digest"].initial = digest
        if self.is_bound:
            self.data: Any = self.data.copy()
            self.data["seen_digest"] = digest


class ReturnForm(ActForm):
    """Why the record goes back to site."""

    reason = paragraph(
        "Why it goes back",
        Return,
        "reason",
        missing="Say what has to be put right before you sign.",
        help_text="It stands in the record; name the step and what is wanted there",
    )
