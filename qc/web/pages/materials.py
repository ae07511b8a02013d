"""The pages of a batch and of data sheets."""

from typing import Any

from django.forms import Form
from django.urls import reverse

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.wording import asked_of, day_text, moment_text
from qc.records.data_sheets import source_of
from qc.records.models import Batch, DataSheet
from qc.web.pages.registers import (
    ProjectInHand,
    file_cell,
    register_page,
    shelf_life_state,
    texts,
)
from qc.web.pages.uses import uses_of_batch


def batch_page(hand: ProjectInHand, batch: Batch, form: Form) -> dict[str, Any]:
    """Everything the template writes."""
    kind, word = shelf_life_state(batch, hand.today)
    recalled = batch.recall if hasattr(batch, "recall") else None
    batches = ("Batches", reverse("batches", args=[hand.project.pk]))
    facts = [
        ("Product", batch.product),
        ("Part", batch.part),
        ("Expiry", day_text(batch.expiry) if batch.expiry else "none stated"),
        ("Storage", batch.storage),
    ]
    return {
        **register_page(hand, batch.number, None if recalled else form, batches),
        "batch": batch,
        "state": kind,
        "word": word,
        "about": [{"term": term, "definition": said} for term, said in facts if said],
        "recalled": recalled,
        "recalled_at": moment_text(recalled.recorded_at, hand.zone) if recalled else "",
        **uses_of_batch(hand, batch),
    }


def data_sheets_page(hand: ProjectInHand) -> dict[str, Any]:
    """Everything the template writes."""
    columns = [
        {"label": "Product"},
        {"label": "Revision", "tight": True},
        {"label": "Figures"},
        {"label": "Entered"},
        {"label": "File"},
    ]
    sheets = hand.project.data_sheets.prefetch_related("files").order_by("product", "-pk")
    rows = [_sheet(hand, sheet) for sheet in sheets]
    return {**register_page(hand, "Data sheets", None), "columns": columns, "rows": rows}


def _sheet(hand: ProjectInHand, sheet: DataSheet) -> dict[str, Any]:
    address = reverse("data_sheet", args=[hand.project.pk, sheet.pk])
    titles = ", ".join(CHARACTERISTICS[key].title for key in sheet.values)
    entered = f"{sheet.recorded_by_name}, {moment_text(sheet.recorded_at, hand.zone)}"
    return {
        "cells": [
            {"text": sheet.product, "url": address},
            *texts((sheet.revision, titles, entered)),
            file_cell(hand, sheet.files.all()),
        ]
    }


def data_sheet_page(hand: ProjectInHand, sheet: DataSheet) -> dict[str, Any]:
    """Everything the template writes."""
    return {
        **register_page(hand, sheet.product, None, _sheets(hand)),
        "sheet": sheet,
        "source": source_of(sheet),
        "groups": [
            {
                "title": CHARACTERISTICS[key].title,
                "asked": asked_of(CHARACTERISTICS[key], figures, {}, hand.zone),
            }
            for key, figures in sheet.values.items()
        ],
        "entered": f"{sheet.recorded_by_name}, {moment_text(sheet.recorded_at, hand.zone)}",
        "file": file_cell(hand, sheet.files.all()),
    }


def entering_sheet_page(hand: ProjectInHand, form: Form) -> dict[str, Any]:
    """Everything the template writes."""
    return register_page(hand, "Enter a data sheet", form, _sheets(hand))


def _sheets(hand: ProjectInHand) -> tuple[str, str]:
    return "Data sheets", reverse("data_sheets", args=[hand.project.pk])
