"""The page of an instrument: calibrations, checks, where it was used, and what is in doubt."""

from typing import Any

from django.forms import Form
from django.urls import reverse

from qc.engine.wording import day_text, moment_text, quantity_text
from qc.records.models import Calibration, Instrument, InstrumentCheck
from qc.web.forms.instruments import kind_label
from qc.web.pages.registers import (
    ProjectInHand,
    calibration_state,
    file_cell,
    register_page,
    row_of,
    texts,
)
from qc.web.pages.uses import uses_of_instrument


def instrument_page(hand: ProjectInHand, instrument: Instrument) -> dict[str, Any]:
    """Everything the template writes."""
    kind, word = calibration_state(instrument, hand.today)
    return {
        **register_page(hand, instrument.identifier, None, _registers(hand)),
        "instrument": instrument,
        "kind": kind_label(instrument.kind),
        "state": kind,
        "word": word,
        "about": about(instrument),
        **_calibrations(hand, instrument),
        "check_columns": [
            {"label": "Checked", "tight": True},
            {"label": "When"},
            {"label": "Reference"},
            {"label": "Nominal", "numeric": True},
            {"label": "Found", "numeric": True},
            {"label": "Tolerance", "numeric": True},
            {"label": "Came out"},
            {"label": "By"},
        ],
        "check_rows": [_check(hand, check) for check in instrument.checks.order_by("-checked_at")],
        **uses_of_instrument(hand, instrument),
    }


def calibrations_page(hand: ProjectInHand, instrument: Instrument, form: Form) -> dict[str, Any]:
    """Everything the template writes."""
    kind, word = calibration_state(instrument, hand.today)
    return {
        **register_page(hand, "Calibrations", form, _registers(hand), way_to(hand, instrument)),
        "instrument": instrument,
        "kind": kind_label(instrument.kind),
        "state": kind,
        "word": word,
        **_calibrations(hand, instrument),
    }


def entering_page(
    hand: ProjectInHand, instrument: Instrument, form: Form, here: str
) -> dict[str, Any]:
    """A page with a form of its own about an instrument."""
    return {
        **register_page(hand, here, form, _registers(hand), way_to(hand, instrument)),
        "instrument": instrument,
        "kind": kind_label(instrument.kind),
        "about": about(instrument),
    }


def way_to(hand: ProjectInHand, instrument: Instrument) -> tuple[str, str]:
    """(label, address) of the page of an instrument."""
    return instrument.identifier, reverse("instrument", args=[hand.project.pk, instrument.pk])


def about(instrument: Instrument) -> list[dict[str, str]]:
    """Range, resolution and uncertainty in words."""
    low, high = quantity_text(instrument.range_low), quantity_text(instrument.range_high)
    span = (
        f"{low} to {high}"
        if low and high
        else (low and f"from {low}") or (high and f"up to {high}")
    )
    facts = [
        ("Range", span),
        ("Resolution", quantity_text(instrument.resolution)),
        ("Expanded uncertainty (k = 2)", quantity_text(instrument.uncertainty)),
    ]
    return [{"term": term, "definition": said or "not stated"} for term, said in facts]


def _registers(hand: ProjectInHand) -> tuple[str, str]:
    return "Instruments", reverse("instruments", args=[hand.project.pk])


def _calibrations(hand: ProjectInHand, instrument: Instrument) -> dict[str, Any]:
    rows = instrument.calibrations.select_related("withdrawal").prefetch_related("files")
    return {
        "columns": [
            {"label": "Certificate", "tight": True},
            {"label": "Calibrated"},
            {"label": "Due"},
            {"label": "Entered"},
            {"label": "File"},
            {"label": "Holds"},
        ],
        "rows": [_calibration(hand, c) for c in rows],
    }


def _calibration(hand: ProjectInHand, calibration: Calibration) -> dict[str, Any]:
    cells = texts(
        (
            calibration.certificate,
            day_text(calibration.calibrated_on),
            day_text(calibration.due_on),
            day_text(calibration.recorded_at.astimezone(hand.zone).date()),
        )
    )
    return {"cells": [*cells, file_cell(hand, calibration.files.all()), _holds(hand, calibration)]}


def _holds(hand: ProjectInHand, calibration: Calibration) -> dict[str, str]:
    if hasattr(calibration, "withdrawal"):
        withdrawn = calibration.withdrawal
        since = moment_text(withdrawn.bad_since, hand.zone)
        return {"text": f"Bad since {since}", "stamp_kind": "does_not_conform"}
    if not hand.keeps:
        return {"text": "Yes"}
    address = reverse("withdraw_calibration", args=[hand.project.pk, calibration.pk])
    return {"text": "Withdraw as bad", "url": address}


def _check(hand: ProjectInHand, check: InstrumentCheck) -> dict[str, Any]:
    row = row_of(
        moment_text(check.checked_at, hand.zone),
        f"{check.occasion.capitalize()} use",
        check.reference,
        quantity_text(check.nominal),
        quantity_text(check.found),
        quantity_text(check.tolerance),
    )
    stamp = "conforms" if check.passed else "does_not_conform"
    word = {"text": "Passed" if check.passed else "Failed", "stamp_kind": stamp}
    return {"cells": [*row["cells"], word, {"text": check.recorded_by_name}]}
