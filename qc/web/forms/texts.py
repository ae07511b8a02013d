"""What is said in words beside the readings."""

from typing import Any

from django import forms


def _text(label: str, missing: str, length: int, rows: int = 3, **more: Any) -> forms.CharField:
    messages = {
        "required": missing,
        "max_length": f"{label}: %(show_value)d characters are more than {length}.",
    }
    widget = forms.Textarea({"rows": rows})
    return forms.CharField(
        label=label, max_length=length, error_messages=messages, widget=widget, **more
    )


def rework_field(begins_anew: bool = False) -> forms.CharField:
    """What was done since a verdict that does not conform, or since one that begins anew."""
    if begins_anew:
        return _text(
            "What was done since the last inspection",
            "Say what was done since, and why the step is inspected again.",
            500,
            help_text="The readings open a new series; those before stay on record",
        )
    return _text(
        "What was done since the last verdict",
        "Say what was done since the verdict did not conform.",
        500,
        help_text="The last verdict does not conform: the readings open a new series",
    )


def reason_field() -> forms.CharField:
    """Why an inspection is corrected."""
    return _text(
        "Reason for the correction",
        "Say why the inspection is corrected; the reason stays on record.",
        500,
        help_text="Both records stay: the old one is struck through, with this reason",
    )


def remarks_field() -> forms.CharField:
    """Anything worth noting, or nothing."""
    return _text("Remarks", "", 1000, required=False)
