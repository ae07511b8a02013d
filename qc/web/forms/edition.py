"""A form that changes the marked-up copy of a plan, and judges each field as it is left."""

from typing import Any

from django import forms
from django.http import QueryDict

from qc.records.plan_edits import Steps
from qc.records.templates import StepTemplate
from qc.web.forms.act import RefusableForm

_LIVE = {"hx-post": "", "hx-trigger": "change"}


class EditionForm(RefusableForm):
    """Carries the edition of the marked-up copy that the page shows: nobody's change is lost."""

    edition = forms.IntegerField(
        widget=forms.HiddenInput,
        error_messages=dict.fromkeys(
            ("required", "invalid"), "The form has lost its edition: open the page again."
        ),
    )

    def __init__(self, edition: int, data: QueryDict | None = None) -> None:
        super().__init__(data)
        self.fields["edition"].initial = edition

    def judge_live(self) -> None:
        """Have each field judged by the server when it is left; without a script, on saving."""
        for field in self.fields.values():
            if not field.widget.is_hidden:
                field.widget.attrs.update(_LIVE)

    def judged(self, name: str) -> forms.BoundField | None:
        """A field with what is wrong with it, for the page to draw anew; None for no such field.

        What is missing elsewhere is told when the form is saved.
        """
        if name not in self.fields:
            return None
        self.full_clean()
        return self[name]


class PressedForm(EditionForm):
    """A button of the marked-up copy's page: what to do with which step."""

    do = forms.RegexField(
        r"^(up|down|copy|remove):([a-z0-9_-]{1,60})$",
        error_messages=dict.fromkeys(
            ("required", "invalid"), "Press one of the buttons beside a step."
        ),
    )

    @property
    def pressed(self) -> tuple[str, str]:
        """(what, key of the step)."""
        what, _, key = self.cleaned_data["do"].partition(":")
        return what, key


class AddForm(EditionForm):
    """A step to add: one of a template, or a blank one of a characteristic, and after which."""

    which = forms.ChoiceField(
        label="Step",
        error_messages={
            "required": "Choose the step to add.",
            "invalid_choice": "%(value)s is no step of the library.",
        },
    )
    after = forms.ChoiceField(
        label="Where",
        required=False,
        error_messages={"invalid_choice": "The plan has no step %(value)s."},
    )

    def __init__(
        self,
        library: dict[str, tuple[str, list[tuple[str, StepTemplate]]]],
        steps: Steps,
        edition: int,
        data: QueryDict | None = None,
    ) -> None:
        super().__init__(edition, data)
        self.made: dict[str, StepTemplate] = {
            name: step for _, group in library.values() for name, step in group
        }
        which: Any = self.fields["which"]
        which.choices = [
            ("", "Choose a step"),
            *((title, [(n, s.title) for n, s in group]) for title, group in library.values()),
        ]
        where: Any = self.fields["after"]
        where.choices = [
            ("", "At the start"),
            *((s.key, f"After {n} {s.title}") for n, s in enumerate(steps, start=1)),
        ]
        where.initial = steps[-1].key if steps else ""

    @property
    def chosen(self) -> StepTemplate:
        """The step as the library has it."""
        return self.made[self.cleaned_data["which"]]
