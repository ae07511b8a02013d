"""A certificate or data sheet sent with an entry of the register."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from qc.evidence.inspect import UnusableFile, check_size, inspect_file
from qc.workflow import Upload


class UploadField(forms.FileField):
    """One file, or none; looked at whole, but only if it is small enough."""

    def __init__(self, label: str) -> None:
        super().__init__(
            label=label,
            required=False,
            help_text="JPEG, PNG or PDF, up to 20 MB",
            widget=forms.FileInput({"accept": "image/*,application/pdf"}),
        )

    def clean(self, data: Any, initial: Any = None) -> Upload | None:
        if not data:
            return None
        name = str(data.name)[:80]
        try:
            check_size(data.size or 0)
            content = data.read()
            inspect_file(content)
        except UnusableFile as unusable:
            raise ValidationError(f"{name}: {unusable} Choose the file again.") from None
        return Upload(content, str(data.name))
