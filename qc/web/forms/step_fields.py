"""Fields of a plan's step: a time, and a list of texts."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from qc.engine.quantities import Dimension
from qc.web.forms.figures import Unclear, figure_in
from qc.web.templatetags.parts import printed


class DurationField(forms.CharField):
    """A time, in hours unless it is typed with another unit; "" where none is given."""

    unit = "h"

    def prepare_value(self, value: Any) -> Any:
        """Hours without their unit, which stands beside the box; any other time with its own."""
        return value.removesuffix(" hour") if isinstance(value, str) else value

    def clean(self, value: Any) -> str:
        text = super().clean(value)
        if not text:
            return ""
        try:
            figure = figure_in(text, Dimension.TIME, "hour")
        except Unclear as refusal:
            raise ValidationError(f"{printed(str(refusal))}.") from None
        return f"{figure.digits} {figure.unit or 'hour'}"


class LinesField(forms.CharField):
    """A list of texts, one a line."""

    widget = forms.Textarea({"rows": 3})

    def prepare_value(self, value: Any) -> Any:
        return value if isinstance(value, str) else "\n".join(value or ())

    def clean(self, value: Any) -> tuple[str, ...]:
        text = super().clean(value)
        return tuple(one.strip() for one in text.splitlines() if one.strip())

    def has_changed(self, initial: Any, data: Any) -> bool:
        return bool(super().has_changed(self.prepare_value(initial), data))
