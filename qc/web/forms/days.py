"""Calendar days."""

from datetime import date
from typing import Any

from django import forms


class DayField(forms.DateField):
    """A calendar day; what is none is repeated in the message."""

    def to_python(self, value: Any) -> date | None:
        try:
            return super().to_python(value)
        except forms.ValidationError as error:
            raise forms.ValidationError(
                error.message, error.code, {"value": str(value)[:40]}
            ) from None


def day_field(label: str, missing: str, **more: Any) -> DayField:
    """A day; `missing` says what to do where it is empty."""
    messages = {"required": missing, "invalid": "%(value)s is not a day: type it as 2026-05-12."}
    widget = forms.DateInput({"type": "date"}, format="%Y-%m-%d")
    return DayField(
        label=label, input_formats=["%Y-%m-%d"], error_messages=messages, widget=widget, **more
    )
