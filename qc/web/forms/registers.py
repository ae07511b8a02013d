"""Entering instruments, calibrations and batches in a project's register."""

from datetime import date
from typing import Any

from django import forms

from qc.engine.characteristics import CHARACTERISTICS
from qc.records.models import Batch, Calibration, Instrument
from qc.web.forms.act import RefusableForm
from qc.web.forms.lines import line


def kind_label(kind: str) -> str:
    """A kind of instrument as a page prints it: "Profile gauge"."""
    return kind.replace("_", " ").capitalize()


def instrument_kinds() -> list[tuple[str, str]]:
    """Every kind of instrument that some characteristic is read with, by its label."""
    kinds = {kind for checks in CHARACTERISTICS.values() for kind in checks.instruments}
    return sorted(((kind, kind_label(kind)) for kind in kinds), key=lambda choice: choice[1])


def _day(label: str, missing: str, **more: Any) -> forms.DateField:
    messages = {"required": missing, "invalid": "%(value)s is not a day: type it as 2026-05-12."}
    widget = forms.DateInput({"type": "date"}, format="%Y-%m-%d")
    return DayField(
        label=label, input_formats=["%Y-%m-%d"], error_messages=messages, widget=widget, **more
    )


class DayField(forms.DateField):
    """A calendar day; what is none is repeated in the message."""

    def to_python(self, value: Any) -> date | None:
        try:
            return super().to_python(value)
        except forms.ValidationError as error:
            raise forms.ValidationError(
                error.message, error.code, {"value": str(value)[:40]}
            ) from None


class InstrumentForm(RefusableForm):
    """A measuring instrument or reference."""

    identifier = line(
        "Identifier",
        Instrument,
        "identifier",
        missing="Enter the identifier that is marked on the instrument.",
        help_text="As marked on it: serial or plant number",
    )
    kind = forms.ChoiceField(
        label="Kind",
        error_messages={
            "required": "Choose what kind of instrument it is.",
            "invalid_choice": "%(value)s is not a kind of instrument that is known here.",
        },
    )
    description = line("Description", Instrument, "description", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kind = self.fields["kind"]
        kind.choices = [("", "Choose"), *instrument_kinds()]  # type: ignore[attr-defined]


class CalibrationForm(RefusableForm):
    """One calibration of an instrument."""

    certificate = line(
        "Number of the calibration certificate",
        Calibration,
        "certificate",
        missing="Enter the number of the calibration certificate.",
    )
    calibrated_on = _day("Calibrated on", "Enter the day of the calibration.")
    due_on = _day(
        "Due on",
        "Enter the day the next calibration falls due.",
        help_text="The last day that this calibration covers",
    )


class BatchForm(RefusableForm):
    """A batch of material."""

    product = line("Product", Batch, "product", missing="Enter what the product is called.")
    part = line(
        "Part",
        Batch,
        "part",
        required=False,
        help_text="For a product of two parts: A, B, or A and B where one number covers both",
    )
    number = line(
        "Batch number", Batch, "number", missing="Enter the batch number that is on the label."
    )
    expiry = _day(
        "Expiry",
        "",
        required=False,
        help_text="The last day it may be used; leave it empty only where the label states none",
    )
