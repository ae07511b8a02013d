"""Adding files as evidence: several at once, taken together or not at all."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction

from qc.accounts.models import User
from qc.evidence.inspect import UnusableFile, check_size, inspect_file
from qc.ledger.chain import Entry
from qc.records.models import PlanStep
from qc.web.forms.act import ActForm
from qc.workflow import add_evidence

MOST_AT_ONCE = 20


class FilesInput(forms.FileInput):
    """An input that takes several files; a phone offers its camera."""

    allow_multiple_selected = True


class FilesField(forms.FileField):
    """A list of files, each of which the evidence takes; every one that it does not is named."""

    widget = FilesInput

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile]:
        files = [file for file in data or () if file]
        if not files:
            raise ValidationError(self.error_messages["required"], "required")
        if len(files) > MOST_AT_ONCE:
            raise ValidationError(f"{len(files)} files are too many: up to {MOST_AT_ONCE} at once.")
        problems = [problem for problem in map(_problem, files) if problem]
        if problems:
            kept = [] if len(files) == 1 else ["Nothing was kept: choose the files again."]
            raise ValidationError([*problems, *kept])
        return files


def _problem(file: UploadedFile) -> str:
    """Why a file cannot be taken; it is looked at whole, but only if it is small enough."""
    try:
        check_size(file.size or 0)
        inspect_file(file.read())
    except UnusableFile as unusable:
        return f"{str(file.name)[:80]}: {unusable}"
    finally:
        file.seek(0)
    return ""


class EvidenceForm(ActForm):
    """Files for one thing that a step asks for, or for a step in general."""

    position = forms.TypedChoiceField(
        label="Step",
        coerce=int,
        error_messages={
            "required": "Choose the step the files belong to.",
            "invalid_choice": "The plan has no step %(value)s.",
        },
    )
    requirement = forms.CharField(required=False, widget=forms.HiddenInput)
    chosen = FilesField(
        label="Photographs or documents",
        help_text="JPEG, PNG or PDF, up to 20 MB each; several at once are taken",
        widget=FilesInput({"accept": "image/*,application/pdf"}),
        error_messages={"required": "Choose at least one file."},
    )
    caption = forms.CharField(
        label="What they show",
        required=False,
        max_length=300,
        error_messages={"max_length": "%(show_value)d characters are more than 300."},
    )

    def __init__(
        self, steps: Sequence[PlanStep], *args: Any, requirement: str = "", **kwargs: Any
    ) -> None:
        own = f"{steps[0].position}-{requirement}" if len(steps) == 1 else "other"
        super().__init__(*args, auto_id=f"{own}-%s", **kwargs)
        position = self.fields["position"]
        position.choices = [(s.position, str(s)) for s in steps]  # type: ignore[attr-defined]
        if len(steps) == 1:
            position.widget = forms.HiddenInput()
            position.initial = steps[0].position
        self.fields["requirement"].initial = requirement

    def keep(self, *, repair_id: int, actor: User, at: datetime) -> Entry | None:
        """Add every file. Refused, none is added, it is None and the reasons are errors."""
        facts = {"repair_id": repair_id, "actor": actor, "at": at}
        return self.carry_out(self._add_each, **facts)

    @transaction.atomic
    def _add_each(self, *, act_id: UUID, **facts: Any) -> Entry:
        """The entry of the last file. Each has an act of its own that follows from the form's."""
        said = self.cleaned_data
        entries = [
            add_evidence(
                act_id=uuid5(act_id, str(number)),
                position=said["position"],
                requirement=said["requirement"],
                content=file.read(),
                filename=str(file.name),
                caption=said["caption"],
                **facts,
            )
            for number, file in enumerate(said["chosen"])
        ]
        return entries[-1]
