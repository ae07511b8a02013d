"""Giving notice of a point, and saying that a party did not come."""

from datetime import datetime, timedelta
from typing import Any, ClassVar

from qc.engine.fields import Field, Kind
from qc.engine.wording import weekday_text
from qc.records.models import Notice, PointClosure
from qc.web.forms.act import ActForm
from qc.web.forms.entries import MomentEntry, Setting
from qc.web.forms.lines import paragraph
from qc.web.loading import RepairInHand
from qc.workflow import Manner

_QUARTER = timedelta(minutes=15)


class NoticeForm(ActForm):
    """For which moment, and a note. Proposed is the next quarter of an hour that is allowed."""

    beside: ClassVar[dict[str, str]] = {"moment": "scheduled_at"}

    def __init__(self, hand: RepairInHand, earliest: datetime, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        setting = Setting(units=hand.repair.units, zone=hand.zone, criteria_fields=(), criteria={})
        moment = Field(
            name="scheduled_at",
            label="When the work comes to the point",
            kind=Kind.MOMENT,
            required=True,
            help=f"by the clock of the site; not before {weekday_text(earliest, hand.zone)}",
        )
        self.fields["scheduled_at"] = MomentEntry(moment, setting)
        local = earliest.astimezone(hand.zone).replace(tzinfo=None)
        self.fields["scheduled_at"].initial = _next_quarter(local)
        self.fields["note"] = paragraph(
            "Note", Notice, "note", required=False, help_text="Where to come, whom to ask for"
        )

    def clean(self) -> dict[str, Any]:
        """The moment must be there."""
        super().clean()
        if not self.errors and self.cleaned_data.get("scheduled_at") is None:
            self.add_error("scheduled_at", "Say when the work comes to the point.")
        return self.cleaned_data

    def said(self) -> dict[str, Any]:
        """The moment as the act takes it."""
        said = super().said()
        return said | {"scheduled_at": datetime.fromisoformat(said["scheduled_at"])}


class LapseForm(ActForm):
    """Who waited for the party that did not come."""

    note = paragraph(
        "Who waited, where and until when",
        PointClosure,
        "note",
        missing="Say who waited, and how long.",
        help_text="It stands in the record beside the point",
    )

    def said(self) -> dict[str, Any]:
        """The manner goes without saying."""
        return super().said() | {"manner": Manner.LAPSED}


def _next_quarter(local: datetime) -> datetime:
    """The first full quarter of an hour from `local` on that a person has time to send."""
    start = local.replace(minute=0, second=0, microsecond=0)
    quarters = (local - start) // _QUARTER + 1
    return start + quarters * _QUARTER
