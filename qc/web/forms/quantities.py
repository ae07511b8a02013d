"""A quantity typed with its unit, kept as the record writes it; a unit is never guessed."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from qc.engine.quantities import Dimension, InvalidQuantity, Quantity
from qc.records.particulars import Figure, problem_with
from qc.web.forms.figures import Unclear, figure_in
from qc.web.templatetags.parts import printed

EXAMPLES = {
    Dimension.LENGTH: "168.3 mm or 6.625 in",
    Dimension.TEMPERATURE: "60 °C or 140 °F",
    Dimension.PRESSURE: "10 bar or 145 psi",
}
_OFFERED = {Dimension.LENGTH: "mm", Dimension.TEMPERATURE: "degC", Dimension.PRESSURE: "bar"}


class QuantityField(forms.CharField):
    """A figure of the record with its unit, such as "168.3 mm", as the record keeps it."""

    def __init__(self, figure: Figure, **more: Any) -> None:
        self.figure = figure
        super().__init__(max_length=40, required=False, **{"label": figure.label} | more)

    def clean(self, value: Any) -> str:
        text = super().clean(value)
        if not text:
            return ""
        dimension = self.figure.dimension
        try:
            typed = figure_in(text, dimension, _OFFERED[dimension])
            Quantity.parse(f"{typed.digits} {typed.unit}", dimension)
        except (Unclear, InvalidQuantity) as refusal:
            problem = str(refusal) if text.strip()[-1:].isalpha() else f"{text} has no unit"
            example = EXAMPLES[dimension]
            raise ValidationError(f"{printed(problem)}: type it such as {example}.") from None
        kept = f"{typed.digits} {typed.unit}"
        if problem := problem_with(self.figure, kept):
            raise ValidationError(printed(problem))
        return kept


def quantity_fields(figures: tuple[Figure, ...]) -> dict[str, forms.Field]:
    """A field for each figure, by its column."""
    return {
        figure.column: QuantityField(
            figure, help_text=f"With its unit, such as {EXAMPLES[figure.dimension]}"
        )
        for figure in figures
    }


class KeptField(forms.CharField):
    """A line that `keep` brings into the form in which the record keeps it, or refuses."""

    def __init__(self, keep: Callable[[str], str], **more: Any) -> None:
        self.keep = keep
        super().__init__(max_length=40, required=False, **more)

    def clean(self, value: Any) -> str:
        text = super().clean(value)
        if not text:
            return ""
        try:
            return self.keep(text)
        except ValueError as refusal:
            raise ValidationError(str(refusal)) from None
