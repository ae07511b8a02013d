"""Lines of text as long as the column that keeps them."""

from typing import Any

from django import forms
from django.db import models


def line(
    label: str, model: type[models.Model], column: str, *, missing: str = "", **more: Any
) -> forms.CharField:
    """A line for a column of `model`; `missing` says what to do where it is empty."""
    longest: int = getattr(model._meta.get_field(column), "max_length")
    messages = {
        "required": missing,
        "max_length": f"{label}: %(show_value)d characters are more than {longest}.",
    }
    return forms.CharField(label=label, max_length=longest, error_messages=messages, **more)


def paragraph(
    label: str, model: type[models.Model], column: str, *, missing: str = "", **more: Any
) -> forms.CharField:
    """The same with room for several lines."""
    field = line(label, model, column, missing=missing, **more)
    attributes = field.widget.attrs
    field.widget = forms.Textarea({**attributes, "rows": 3})
    return field
