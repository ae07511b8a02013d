"""With what a reading was taken: instruments and batches to tick, each with its last good day."""

from collections.abc import Sequence
from typing import Any

from django import forms

from qc.engine.wording import day_text
from qc.records.models import Batch, Instrument, Qualification
from qc.web.forms.work import Work


def add_means(form: forms.Form, work: Work) -> None:
    """Add the instruments of the project, those the step asks for first, and its batches."""
    fitting, others = _sorted(work)
    if fitting or work.step.instrument_kinds:
        form.fields["instruments"] = _instruments(fitting, work)
    if others:
        form.fields["other_instruments"] = _ticks(
            "Other instruments used", [(i.pk, _instrument_text(i, work)) for i in others]
        )
    if work.step.needs_batch:
        form.fields["batches"] = _batches(work)
    if scopes := work.step.qualifications.get("applicator"):
        form.fields["applicators"] = _applicators(work, scopes)


def _sorted(work: Work) -> tuple[list[Instrument], list[Instrument]]:
    kinds = work.step.instrument_kinds or work.step.checks.instruments
    fitting = [i for i in work.instruments if i.kind in kinds]
    return fitting, [i for i in work.instruments if i.kind not in kinds]


def _instruments(fitting: Sequence[Instrument], work: Work) -> forms.Field:
    kinds = " or ".join(kind.replace("_", " ") for kind in work.step.instrument_kinds)
    field = _ticks(
        "Instruments used",
        [(i.pk, _instrument_text(i, work)) for i in fitting],
        required=bool(kinds),
        initial=[i.pk for i in fitting if i.pk in work.instruments_used],
        missing=f"Tick the {kinds} used.",
    )
    if not fitting:
        field.help_text = f"The register holds no {kinds}: enter it there first"
    return field


def _instrument_text(instrument: Instrument, work: Work) -> str:
    today = work.now.astimezone(work.zone).date()
    covering, due = instrument.calibration_on(today), instrument.last_due()
    if instrument.pk in work.untrusted:
        state = "CAN'T BE TRUSTED since it failed a check or its calibration was withdrawn:"
        return f"{instrument}, {state} release will be blocked"
    if covering:
        state = f"calibration due {day_text(covering.due_on)}"
    elif due:
        state = f"OUT OF CALIBRATION, was due {day_text(due)}: release will be blocked"
    else:
        state = "NO CALIBRATION ON RECORD: release will be blocked"
    return f"{instrument}, {state}"


def _batches(work: Work) -> forms.Field:
    field = _ticks(
        "Batches used",
        [(batch.pk, _batch_text(batch, work)) for batch in work.batches],
        required=True,
        initial=[batch.pk for batch in work.batches if batch.pk in work.batches_used],
        missing="Tick the batch used.",
    )
    if not work.batches:
        field.help_text = "The register holds no batch: enter it there first"
    return field


def _batch_text(batch: Batch, work: Work) -> str:
    if hasattr(batch, "recall"):
        return f"{batch}, RECALLED: release will be blocked"
    if batch.expiry is None:
        return f"{batch}, no expiry on record"
    if batch.expiry < work.now.astimezone(work.zone).date():
        return f"{batch}, EXPIRED on {day_text(batch.expiry)}: release will be blocked"
    return f"{batch}, good through {day_text(batch.expiry)}"


def _applicators(work: Work, scopes: Sequence[str]) -> forms.Field:
    field = _ticks(
        "Applicators",
        [(one.pk, _person_text(one, work)) for one in work.applicators],
        required=True,
        missing=f"Tick who did the work; the step asks for: {', '.join(scopes)}.",
    )
    asked = f"The step asks for: {', '.join(scopes)}"
    lacking = "" if work.applicators else ". The register holds nobody: enter them there first"
    field.help_text = f"{asked}{lacking}"
    return field


def _person_text(one: Qualification, work: Work) -> str:
    """A person's certificate: what it covers, and whether it holds today."""
    today = work.now.astimezone(work.zone).date()
    covers = f"{one.holder}: {', '.join(one.scopes)}"
    if today > one.valid_until:
        return f"{covers}, EXPIRED on {day_text(one.valid_until)}: release will be blocked"
    if today < one.valid_from:
        return f"{covers}, NOT VALID before {day_text(one.valid_from)}: release will be blocked"
    return f"{covers}, valid through {day_text(one.valid_until)}"


def _ticks(
    label: str,
    choices: Sequence[tuple[int, str]],
    *,
    required: bool = False,
    initial: Sequence[int] = (),
    missing: str = "",
) -> forms.Field:
    messages: dict[str, Any] = {
        "required": missing,
        "invalid_choice": "%(value)s is not in the register of this project.",
    }
    return forms.TypedMultipleChoiceField(
        label=label,
        choices=choices,
        coerce=int,
        required=required,
        initial=initial,
        error_messages=messages,
        widget=forms.CheckboxSelectMultiple,
    )
