"""Entering instruments, their calibrations and checks, and withdrawing a calibration."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import Field, Kind
from qc.engine.metrology import Part, dimensions_of, has_figures
from qc.engine.quantities import symbol_of, units_of
from qc.records.models import Calibration, CalibrationWithdrawal, Instrument, InstrumentCheck
from qc.web.forms.act import ActForm
from qc.web.forms.days import day_field
from qc.web.forms.entries import MomentEntry, Setting
from qc.web.forms.figures import Unclear, figure_in
from qc.web.forms.lines import line, paragraph
from qc.web.forms.uploads import UploadField
from qc.web.templatetags.parts import printed
from qc.workflow import InstrumentOutline

_FIGURES = {
    "range_low": Part.VALUE,
    "range_high": Part.VALUE,
    "resolution": Part.WIDTH,
    "uncertainty": Part.WIDTH,
    "nominal": Part.VALUE,
    "found": Part.VALUE,
    "tolerance": Part.WIDTH,
}
"""The figures of instruments and checks, and whether they are a value or a width of the scale."""


def kind_label(kind: str) -> str:
    """A kind of instrument as a page prints it: "Profile gauge"."""
    return kind.replace("_", " ").capitalize()


def instrument_kinds() -> list[tuple[str, str]]:
    """Every kind of instrument that some characteristic is read with, by its label."""
    kinds = {kind for checks in CHARACTERISTICS.values() for kind in checks.instruments}
    return sorted(((kind, kind_label(kind)) for kind in kinds), key=lambda choice: choice[1])


def figure_typed(kind: str, part: Part, text: str) -> str:
    """A figure as the record keeps it. ValidationError where it is none of the instrument's."""
    if not has_figures(kind):
        raise ValidationError(f"A {kind.replace('_', ' ')} reads no figures: leave this empty.")
    problem = ""
    for dimension in dimensions_of(kind, part) or (None,):
        try:
            typed = figure_in(text, dimension, units_of(dimension)[0] if dimension else "")
        except Unclear as unclear:
            problem = problem or f"{unclear}."
            continue
        if typed.unit or dimension is None:
            return f"{typed.digits} {typed.unit}".strip()
        known = " or ".join(symbol_of(unit) for unit in units_of(dimension)[:4])
        problem = problem or f"{text.strip()[:40]} has no unit: type it as {typed.digits} {known}."
    raise ValidationError(problem)


def _figure(label: str, column: str, model: Any, **more: Any) -> forms.CharField:
    widget = forms.TextInput({"autocomplete": "off", "data-figure": ""})
    return line(label, model, column, widget=widget, **more)


class FiguresForm(ActForm):
    """A form with figures of an instrument, each with its unit."""

    beside = {name: name for name in (*_FIGURES, "reference", "occasion", "checked_at", "file")}

    def kind_meant(self) -> str:
        """The kind of instrument whose figures they are; "" while none is chosen."""
        raise NotImplementedError

    def clean(self) -> dict[str, Any]:
        """The figures as the record keeps them, what is wrong beside its field."""
        super().clean()
        for name, part in _FIGURES.items():
            text = self.cleaned_data.get(name)
            if text and self.kind_meant():
                try:
                    self.cleaned_data[name] = figure_typed(self.kind_meant(), part, text)
                except ValidationError as problem:
                    self.add_error(name, problem)
        return self.cleaned_data


class InstrumentForm(FiguresForm):
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
    range_low = _figure(
        "Range from",
        "range_low",
        Instrument,
        required=False,
        help_text="With its unit, such as 0 µm or -20 °C; a hardness tester's scale has none",
    )
    range_high = _figure("Range to", "range_high", Instrument, required=False)
    resolution = _figure("Resolution", "resolution", Instrument, required=False)
    uncertainty = _figure(
        "Expanded uncertainty",
        "uncertainty",
        Instrument,
        required=False,
        help_text="k = 2, as its calibration certificate states it",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kind = self.fields["kind"]
        kind.choices = [("", "Choose"), *instrument_kinds()]  # type: ignore[attr-defined]

    def kind_meant(self) -> str:
        return str(self.cleaned_data.get("kind", ""))

    def said(self) -> dict[str, Any]:
        """The instrument, as the act takes it."""
        told = super().said()
        return {"outline": InstrumentOutline(**told)}


class CalibrationForm(ActForm):
    """One calibration of an instrument."""

    beside = {"file": "file"}

    certificate = line(
        "Number of the calibration certificate",
        Calibration,
        "certificate",
        missing="Enter the number of the calibration certificate.",
    )
    calibrated_on = day_field("Calibrated on", "Enter the day of the calibration.")
    due_on = day_field(
        "Due on",
        "Enter the day the next calibration falls due.",
        help_text="The last day that this calibration covers",
    )
    file = UploadField("Calibration certificate")


class SiteForm(ActForm):
    """A form with a moment by the clock of the site."""

    moment: tuple[str, str, str]
    """Name and label of the moment, and what is said where it is missing."""

    def __init__(self, zone: ZoneInfo, *args: Any, now: datetime | None = None, **kwargs: Any):
        super().__init__(*args, **kwargs)
        name, label, _ = self.moment
        declared = Field(name=name, label=label, kind=Kind.MOMENT, required=True)
        setting = Setting(units="metric", zone=zone, criteria_fields=(), criteria={})
        self.fields[name] = MomentEntry(declared, setting)
        if now is not None:
            self.fields[name].initial = now.astimezone(zone).replace(tzinfo=None)

    def clean(self) -> dict[str, Any]:
        """The moment as such; missing, it is said so."""
        super().clean()
        name, _, missing = self.moment
        if text := self.cleaned_data.get(name):
            self.cleaned_data[name] = datetime.fromisoformat(text)
        elif name not in self.errors:
            self.add_error(name, missing)
        return self.cleaned_data


class CheckForm(SiteForm, FiguresForm):
    """A check of an instrument against a reference."""

    moment = ("checked_at", "Checked at", "Enter when the check was made.")

    occasion = forms.ChoiceField(
        label="When",
        choices=[("before", "Before use"), ("after", "After use")],
        widget=forms.RadioSelect,
        error_messages={
            "required": "Say whether the check was made before or after use.",
            "invalid_choice": "%(value)s is neither before nor after use.",
        },
    )
    reference = line(
        "Reference",
        InstrumentCheck,
        "reference",
        missing="Name the reference the instrument was checked against.",
        help_text="Shim, block, salt solution or master gauge, with its number",
    )
    nominal = _figure(
        "Nominal value of the reference",
        "nominal",
        InstrumentCheck,
        missing="Enter what the reference stands for.",
    )
    found = _figure(
        "Found", "found", InstrumentCheck, missing="Enter what the instrument read on it."
    )
    tolerance = _figure(
        "Tolerance",
        "tolerance",
        InstrumentCheck,
        missing="Enter by how much the reading may differ.",
        help_text="On the tolerance the check passes",
    )

    def __init__(self, instrument: Instrument, *args: Any, **kwargs: Any) -> None:
        self.instrument = instrument
        super().__init__(*args, **kwargs)
        last = instrument.checks.last()
        for name in ("reference", "nominal", "tolerance") if last else ():
            self.fields[name].initial = _as_typed(getattr(last, name))
        self.order_fields(["act_id", "occasion", "checked_at"])

    def kind_meant(self) -> str:
        return self.instrument.kind


class WithdrawForm(SiteForm):
    """That a calibration turned out to be bad."""

    moment = ("bad_since", "Bad since", "Enter since when the calibration can't be relied on.")
    beside = {"bad_since": "bad_since", "reason": "reason"}

    reason = paragraph(
        "Reason",
        CalibrationWithdrawal,
        "reason",
        missing="Say why the calibration is withdrawn.",
    )


def _as_typed(stored: str) -> str:
    return str(printed(stored)).replace("\N{NO-BREAK SPACE}", " ")
