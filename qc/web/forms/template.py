"""Saving a plan's steps as a template of the project."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms

from qc.records.models import PlanTemplate as TemplateRow
from qc.records.plan_edits import Steps
from qc.records.templates import PlanTemplate
from qc.web.forms.act import ActForm
from qc.web.forms.lines import line, paragraph

PLAN, COPY = "plan", "copy"


class TemplateForm(ActForm):
    """Which steps are saved, and as what: a new template, or a further revision of one."""

    source = forms.ChoiceField(
        label="Steps",
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose which steps are saved.",
            "invalid_choice": "There is no plan %(value)s.",
        },
    )
    key = forms.ChoiceField(
        label="Save as",
        required=False,
        error_messages={"invalid_choice": "The project keeps no template %(value)s."},
    )
    title = line("Title", TemplateRow, "title", missing="Give the template a title.")
    summary = paragraph("What it is for", TemplateRow, "summary", required=False)
    reason = paragraph(
        "Reason for a further revision",
        TemplateRow,
        "reason",
        required=False,
        help_text="Not needed for a new template",
    )

    def __init__(
        self,
        sources: Mapping[str, tuple[str, Steps]],
        base: PlanTemplate,
        kept: Sequence[PlanTemplate],
        *args: Any,
    ) -> None:
        super().__init__(*args)
        self.sources, self.base = sources, base
        source, key = self.fields["source"], self.fields["key"]
        source.choices = [(name, label) for name, (label, _) in sources.items()]  # type: ignore[attr-defined]
        source.initial = list(sources)[-1]
        key.choices = [  # type: ignore[attr-defined]
            ("", "A new template"),
            *((t.key, f"{t.title}, revision {int(t.revision) + 1}") for t in kept),
        ]
        self.fields["title"].initial = base.title
        self.fields["summary"].initial = base.summary

    def clean(self) -> dict[str, Any]:
        """A further revision says why."""
        said = super().clean() or self.cleaned_data
        if said.get("key") and not said.get("reason", "").strip():
            self.add_error("reason", "Say why the template gets a further revision.")
        return said

    def said(self) -> dict[str, Any]:
        """The arguments of the act."""
        said = self.cleaned_data
        template = PlanTemplate(
            key=said["key"],
            title=said["title"],
            summary=said["summary"],
            steps=self.sources[said["source"]][1],
            cautions=self.base.cautions,
            terms=self.base.terms,
            to_state=self.base.to_state,
        )
        return {"template": template, "reason": said["reason"]}
