"""Putting a marked-up plan forward, and commenting a plan."""

from collections.abc import Mapping
from typing import Any

from django import forms

from qc.records.models import Plan, PlanComment
from qc.records.plan_edits import Steps
from qc.web.forms.act import ActForm
from qc.web.forms.lines import paragraph


class PutForwardForm(ActForm):
    """The marked-up copy becomes a revision: why, and from which step it applies."""

    edition = forms.IntegerField(widget=forms.HiddenInput, required=False)
    applies_from = forms.TypedChoiceField(
        label="Applies from step",
        coerce=int,
        empty_value=None,
        required=False,
        help_text="What stands before it stays as it was agreed; a changed step is inspected again",
        error_messages={"invalid_choice": "%(value)s is no step of the plan."},
    )
    reason = paragraph(
        "Reason for the revision",
        Plan,
        "reason",
        missing="Say why the plan is revised; the client reads it before agreeing.",
    )

    def __init__(
        self,
        steps: Steps,
        terms: Mapping[str, Any],
        edition: int,
        is_agreed: bool,
        first: int | None,
        *args: Any,
    ) -> None:
        super().__init__(*args)
        self.steps = steps
        self.terms = terms
        self.fields["edition"].initial = edition
        self.fields["reason"].required = is_agreed
        if not is_agreed:
            del self.fields["applies_from"]
            return
        most = max(len(steps), first or 1)
        titles = [step.title for step in steps] + ["the end"] * (most - len(steps))
        choices: Any = self.fields["applies_from"]
        choices.choices = [(n, f"{n} {title}") for n, title in enumerate(titles, start=1)]
        choices.initial = first or 1

    def said(self) -> dict[str, Any]:
        """The arguments of the act."""
        return {
            "steps": self.steps,
            "terms": self.terms,
            "reason": self.cleaned_data["reason"],
            "applies_from": self.cleaned_data.get("applies_from"),
            "seen_markup": self.cleaned_data["edition"],
        }


class CommentForm(ActForm):
    """A remark on a revision of a plan, or on one of its steps."""

    revision = forms.IntegerField(
        widget=forms.HiddenInput,
        error_messages=dict.fromkeys(
            ("required", "invalid"), "The form has lost its revision: open the page again."
        ),
    )
    step_key = forms.ChoiceField(
        label="On",
        required=False,
        error_messages={"invalid_choice": "The plan has no step %(value)s."},
    )
    text = paragraph("Comment", PlanComment, "text", missing="Write the comment.")

    def __init__(self, plan: Plan, key: str, *args: Any) -> None:
        super().__init__(*args)
        self.fields["revision"].initial = plan.revision
        on: Any = self.fields["step_key"]
        on.choices = [
            ("", "The plan as a whole"),
            *((step.key, str(step)) for step in plan.steps.all()),
        ]
        on.initial = key
