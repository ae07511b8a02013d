"""The page of qualified people."""

from datetime import date
from typing import Any

from django.forms import Form

from qc.engine.wording import day_text
from qc.records.models import Qualification
from qc.web.pages.registers import SOON, ProjectInHand, file_cell, register_page, texts


def people_page(hand: ProjectInHand, form: Form) -> dict[str, Any]:
    """Everything the template writes."""
    columns = [
        {"label": "Name"},
        {"label": "Trade"},
        {"label": "Scopes"},
        {"label": "Certificate"},
        {"label": "Valid"},
        {"label": "Today"},
        {"label": "File"},
    ]
    kept = hand.project.qualifications.prefetch_related("files")
    rows = [_row(hand, one) for one in kept]
    return {**register_page(hand, "People", form), "columns": columns, "rows": rows}


def qualification_state(one: Qualification, today: date) -> tuple[str, str]:
    """(kind of mark, words) for a qualification on a day; its first and last day count."""
    if today < one.valid_from:
        return "not_started", "Not yet valid"
    if today > one.valid_until:
        return "does_not_conform", "Expired"
    if one.valid_until - today <= SOON:
        return "incomplete", f"Expires within {SOON.days} days"
    return "conforms", "Valid"


def _row(hand: ProjectInHand, one: Qualification) -> dict[str, Any]:
    kind, word = qualification_state(one, hand.today)
    issued = f"{one.certificate}, {one.issued_by}" if one.issued_by else one.certificate
    valid = f"{day_text(one.valid_from)} to {day_text(one.valid_until)}"
    cells = texts((one.holder, one.trade.capitalize(), ", ".join(one.scopes), issued, valid))
    return {"cells": [*cells, {"text": word, "stamp_kind": kind}, file_cell(hand, one.files.all())]}
