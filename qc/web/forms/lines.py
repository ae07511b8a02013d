"""Lines of text as long as the column that keeps them."""

from typing import Any, cast

from django import forms
from django.db import models


def line(
    label: str, model: type[models.Model], column: str, *, missing: str = "", **more: Any
) -> forms.CharField:
    """A line for a column of `model`; `missing` says what to do where it is empty."""
    kept = cast("models.CharField[Any, Any]", model._meta.get_field(column))
    messages = {
        "required": missing,
        "max_length": f"{label}: %(show_value)d characters are more than {kept.max_length}.",
    }
    return forms.CharField(label=label, max_length=kept.max_length, error_messages=messages, **more)


def paragraph(
    label: str, model: type[models.Model], column: str, *, missing: str = "", **more: Any
) -> forms.CharField:
    """The same with room for several lines."""
    widget = forms.Textarea({"rows": 3})
    return line(label, model, column, missing=missing, widget=widget, **more)
