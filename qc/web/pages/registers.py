"""The registers of a project: what all their pages share, and the lists."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.forms import Form
from django.http import HttpRequest
from django.urls import reverse

from qc.accounts.access import membership_of
from qc.accounts.models import Membership, Project
from qc.engine.lifecycle import REGISTER_ACTS, RegisterAct
from qc.engine.wording import day_text
from qc.evidence.models import RegisterFile
from qc.records.models import Batch, Instrument
from qc.web.forms.instruments import kind_label
from qc.web.loading import person, project_in_hand

SOON = timedelta(days=30)


@dataclass(frozen=True)
class ProjectInHand:
    """A project as one person sees it, and the moment by the clock of its site."""

    project: Project
    membership: Membership
    now: datetime

    @property
    def zone(self) -> ZoneInfo:
        """The clock of the site."""
        return ZoneInfo(self.project.time_zone)

    @property
    def today(self) -> date:
        """The day at the site."""
        return self.now.date()

    @property
    def doing(self) -> dict[str, Any]:
        """Where, by whom and when something is entered."""
        return {"project_id": self.project.pk, "actor": self.membership.user, "at": self.now}

    @property
    def keeps(self) -> bool:
        """Whether the person enters things in the register."""
        return self.membership.acts_for in REGISTER_ACTS[RegisterAct.ADD_INSTRUMENT]


def register_of(request: HttpRequest, project_id: int, now: datetime) -> ProjectInHand:
    """The project for this person. Http404 if it is none of theirs."""
    project = project_in_hand(request, project_id)
    local = now.astimezone(ZoneInfo(project.time_zone))
    return ProjectInHand(project, membership_of(person(request), project_id), local)


def instruments_page(hand: ProjectInHand, form: Form) -> dict[str, Any]:
    """Everything the template writes."""
    kept = hand.project.instruments.prefetch_related("calibrations__withdrawal", "checks")
    columns = [
        {"label": "Identifier", "tight": True},
        {"label": "Kind"},
        {"label": "Description"},
        {"label": "Today"},
        {"label": "Due", "tight": True},
    ]
    pressing = sorted(
        kept, key=lambda instrument: _urgency(calibration_state(instrument, hand.today))
    )
    rows = [_instrument(hand, instrument) for instrument in pressing]
    return {**register_page(hand, "Instruments", form), "columns": columns, "rows": rows}


def batches_page(hand: ProjectInHand, form: Form) -> dict[str, Any]:
    """Everything the template writes."""
    columns = [
        {"label": "Number", "tight": True},
        {"label": "Product"},
        {"label": "Part"},
        {"label": "Today"},
        {"label": "Expiry", "tight": True},
        {"label": "Storage"},
    ]
    kept = hand.project.batches.select_related("recall")
    pressing = sorted(kept, key=lambda batch: _urgency(shelf_life_state(batch, hand.today)))
    rows = [_batch(hand, batch) for batch in pressing]
    return {**register_page(hand, "Batches", form), "columns": columns, "rows": rows}


def calibration_state(instrument: Instrument, today: date) -> tuple[str, str]:
    """(kind of mark, words) for an instrument on a day; the due day itself still counts."""
    covering = instrument.calibration_on(today)
    last_check = max(instrument.checks.all(), key=lambda c: (c.checked_at, c.pk), default=None)
    if last_check is not None and not last_check.passed:
        return "does_not_conform", "Failed its last check"
    if covering is not None and hasattr(covering, "withdrawal"):
        return "does_not_conform", "Calibration withdrawn"
    if covering is None:
        overdue = instrument.last_due() is not None
        return ("does_not_conform", "Overdue") if overdue else ("not_started", "Not calibrated")
    if covering.due_on - today <= SOON:
        return "incomplete", f"Due within {SOON.days} days"
    return "conforms", "In calibration"


def shelf_life_state(batch: Batch, today: date) -> tuple[str, str]:
    """(kind of mark, words) for a batch on a day; it may be used through the day it expires."""
    if hasattr(batch, "recall"):
        return "does_not_conform", "Recalled"
    if batch.expiry is None:
        return "not_started", "No expiry stated"
    if batch.expiry < today:
        return "does_not_conform", "Expired"
    if batch.expiry - today <= SOON:
        return "incomplete", f"Expires within {SOON.days} days"
    return "conforms", "In shelf life"


def _urgency(state: tuple[str, str]) -> int:
    """What is past its day comes first, then what will be soon."""
    return ("does_not_conform", "incomplete", "not_started", "conforms").index(state[0])


def _instrument(hand: ProjectInHand, instrument: Instrument) -> dict[str, Any]:
    kind, word = calibration_state(instrument, hand.today)
    due = instrument.last_due()
    address = reverse("instrument", args=[hand.project.pk, instrument.pk])
    named = {"text": instrument.identifier, "url": address}
    what = (kind_label(instrument.kind), instrument.description)
    stamped = {"text": word, "stamp_kind": kind}
    return {"cells": [named, *texts(what), stamped, {"text": day_text(due) if due else ""}]}


def _batch(hand: ProjectInHand, batch: Batch) -> dict[str, Any]:
    kind, word = shelf_life_state(batch, hand.today)
    expiry = day_text(batch.expiry) if batch.expiry else ""
    address = reverse("batch", args=[hand.project.pk, batch.pk])
    named = {"text": batch.number, "url": address}
    stamped = {"text": word, "stamp_kind": kind}
    what = texts((batch.product, batch.part))
    return {"cells": [named, *what, stamped, *texts((expiry, batch.storage))]}


def row_of(*cells: str) -> dict[str, Any]:
    """A row of plain texts."""
    return {"cells": texts(cells)}


def texts(found: Iterable[str]) -> list[dict[str, str]]:
    """Cells of plain text."""
    return [{"text": text} for text in found]


def file_cell(hand: ProjectInHand, files: Iterable[RegisterFile]) -> dict[str, str]:
    """A cell that leads to the file kept with a row."""
    for file in files:
        address = reverse("register_file", args=[hand.project.pk, file.pk])
        return {"text": file.filename, "url": address}
    return {"text": ""}


def register_page(
    hand: ProjectInHand, here: str, form: Form | None, *further: tuple[str, str]
) -> dict[str, Any]:
    """What every page of a register has: the way to it, and the form of who may enter something."""
    party = hand.membership.acts_for
    way = [("Repairs", reverse("home")), *further]
    return {
        "party": f"{party.capitalize()}, {hand.project.organisation_of(party)}",
        "project": hand.project,
        "crumbs": [{"label": label, "url": url} for label, url in way] + [{"label": here}],
        "keeps": hand.keeps,
        "form": form if form and (hand.keeps or form.is_bound) else None,
    }
