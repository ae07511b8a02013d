"""The registers of a project: instruments and how long they are good for, and batches."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from django.urls import reverse

from qc.accounts.access import membership_of
from qc.accounts.models import Membership, Project
from qc.engine.wording import day_text
from qc.records.models import Batch, Instrument
from qc.web.forms.act import RefusableForm
from qc.web.forms.instruments import kind_label
from qc.web.loading import person, project_in_hand
from qc.workflow.register import KEEPERS

SOON = timedelta(days=30)


@dataclass(frozen=True)
class ProjectInHand:
    """A project as one person sees it, and the moment by the clock of its site."""

    project: Project
    membership: Membership
    now: datetime

    @property
    def today(self) -> date:
        """The day at the site."""
        return self.now.date()

    @property
    def keeps(self) -> bool:
        """Whether the person enters things in the register."""
        return self.membership.acts_for in KEEPERS


def register_of(request: HttpRequest, project_id: int, now: datetime) -> ProjectInHand:
    """The project for this person. Http404 if it is none of theirs."""
    project = project_in_hand(request, project_id)
    local = now.astimezone(ZoneInfo(project.time_zone))
    return ProjectInHand(project, membership_of(person(request), project_id), local)


def instruments_page(hand: ProjectInHand, form: RefusableForm) -> dict[str, Any]:
    """Everything the template writes."""
    kept = hand.project.instruments.prefetch_related("calibrations")
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
    return {**_page(hand, "Instruments", form), "columns": columns, "rows": rows}


def calibrations_page(
    hand: ProjectInHand, instrument: Instrument, form: RefusableForm
) -> dict[str, Any]:
    """Everything the template writes."""
    columns = [
        {"label": "Certificate", "tight": True},
        {"label": "Calibrated"},
        {"label": "Due"},
        {"label": "Entered"},
    ]
    rows = [
        _row(c.certificate, day_text(c.calibrated_on), day_text(c.due_on), day_text(c.recorded_at))
        for c in instrument.calibrations.all()
    ]
    kind, word = calibration_state(instrument, hand.today)
    registers = reverse("instruments", args=[hand.project.pk])
    return {
        **_page(hand, instrument.identifier, form, ("Instruments", registers)),
        "instrument": instrument,
        "kind": kind_label(instrument.kind),
        "state": kind,
        "word": word,
        "columns": columns,
        "rows": rows,
    }


def batches_page(hand: ProjectInHand, form: RefusableForm) -> dict[str, Any]:
    """Everything the template writes."""
    columns = [
        {"label": "Number", "tight": True},
        {"label": "Product"},
        {"label": "Part"},
        {"label": "Today"},
        {"label": "Expiry", "tight": True},
    ]
    kept = hand.project.batches.all()
    pressing = sorted(kept, key=lambda batch: _urgency(shelf_life_state(batch, hand.today)))
    rows = [_batch(hand, batch) for batch in pressing]
    return {**_page(hand, "Batches", form), "columns": columns, "rows": rows}


def calibration_state(instrument: Instrument, today: date) -> tuple[str, str]:
    """(kind of mark, words) for an instrument on a day; the due day itself still counts."""
    covering = instrument.calibration_on(today)
    if covering is None:
        overdue = instrument.last_due() is not None
        return ("does_not_conform", "Overdue") if overdue else ("not_started", "Not calibrated")
    if covering.due_on - today <= SOON:
        return "incomplete", f"Due within {SOON.days} days"
    return "conforms", "In calibration"


def shelf_life_state(batch: Batch, today: date) -> tuple[str, str]:
    """(kind of mark, words) for a batch on a day; it may be used through the day it expires."""
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
    address = reverse("calibrations", args=[hand.project.pk, instrument.pk])
    named = {"text": instrument.identifier, "url": address}
    stamped = {"text": word, "stamp_kind": kind}
    what = (kind_label(instrument.kind), instrument.description)
    return {"cells": [named, *_texts(what), stamped, {"text": day_text(due) if due else ""}]}


def _batch(hand: ProjectInHand, batch: Batch) -> dict[str, Any]:
    kind, word = shelf_life_state(batch, hand.today)
    expiry = day_text(batch.expiry) if batch.expiry else ""
    stamped = {"text": word, "stamp_kind": kind}
    named = _texts((batch.number, batch.product, batch.part))
    return {"cells": [*named, stamped, {"text": expiry}]}


def _row(*texts: str) -> dict[str, Any]:
    return {"cells": _texts(texts)}


def _texts(texts: Iterable[str]) -> list[dict[str, str]]:
    return [{"text": text} for text in texts]


def _page(
    hand: ProjectInHand, here: str, form: RefusableForm, *further: tuple[str, str]
) -> dict[str, Any]:
    party = hand.membership.acts_for
    way = [("Repairs", reverse("home")), *further]
    return {
        "party": f"{party.capitalize()}, {hand.project.organisation_of(party)}",
        "project": hand.project,
        "crumbs": [{"label": label, "url": url} for label, url in way] + [{"label": here}],
        "keeps": hand.keeps,
        "form": form if hand.keeps or form.is_bound else None,
    }
