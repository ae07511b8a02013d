"""Reporting a nonconformance, and what each deed about a report asks for."""

from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from django import forms

from qc.engine.nonconformance import Disposition, Origin, ReportDeed
from qc.engine.plan import Intervention
from qc.engine.wording import moment_text
from qc.records.models import Handling, Inspection, Nonconformance
from qc.web.forms.act import ActForm
from qc.web.forms.lines import paragraph
from qc.web.loading import RepairInHand
from qc.workflow import Dealing

CORRECT = "correct"
"""The way to close a report whose readings were only written wrongly."""

_ORIGINS = {
    Origin.OBSERVATION: "Something is not as it should be",
    Origin.HOLD: "Work went on past an open hold point",
}
_DISPOSITIONS = {
    Disposition.REWORK: "Rework: make it conform, then measure again",
    Disposition.REPAIR: "Repair: make it fit for use another way (the client's concession)",
    Disposition.USE_AS_IS: "Use as is: leave it as it is (the client's concession)",
    Disposition.REJECT: "Reject: take it out and do it again",
}


class ReportForm(ActForm):
    """What was found, at which step."""

    beside: ClassVar[Mapping[str, str]] = {"statement": "statement", "position": "position"}

    origin = forms.TypedChoiceField(
        label="What is it?",
        coerce=Origin,
        choices=[(str(origin), words) for origin, words in _ORIGINS.items()],
        initial=str(Origin.OBSERVATION),
        widget=forms.RadioSelect,
        error_messages={"required": "Choose what it is."},
    )
    position = forms.TypedChoiceField(
        label="Where?", coerce=int, required=False, empty_value=None, widget=forms.Select
    )
    statement = paragraph(
        "What does not conform",
        Nonconformance,
        "statement",
        missing="Say what does not conform.",
        help_text="What you saw, where, and what was asked for; it stands in the record",
    )

    def __init__(self, hand: RepairInHand, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        steps = [(str(p.step.position), str(p.step)) for p in hand.progress]
        whole = ("", "The repair as a whole")
        self.fields["position"].choices = [whole, *steps]  # type: ignore[attr-defined]
        if not _holds_open(hand):
            del self.fields["origin"]


def _holds_open(hand: RepairInHand) -> bool:
    return any(
        point.intervention is Intervention.HOLD and not point.closed
        for progress in hand.progress
        for point in progress.points
    )


class DealForm(ActForm):
    """One deed about a report, with what is said of it."""

    beside: ClassVar[Mapping[str, str]] = {"text": "text"}
    label: ClassVar[str] = ""
    asks: ClassVar[str] = "Note"
    missing: ClassVar[str] = ""
    hint: ClassVar[str] = "It stands in the record"
    deed: ClassVar[ReportDeed]
    grave: ClassVar[bool] = False

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["text"] = paragraph(
            self.asks,
            Handling,
            "text",
            missing=self.missing,
            required=bool(self.missing),
            help_text=self.hint,
        )

    def said(self) -> dict[str, Any]:
        """What the person does about the report, as the act takes it."""
        return {"dealing": Dealing(deed=self.deed, **super().said())}


class ContainForm(DealForm):
    """What keeps it from going further."""

    deed = ReportDeed.CONTAIN
    label = "Contain it"
    asks = "What keeps it from going further"
    missing = "Say what was done so that nothing is built on it."
    hint = "Work stopped, part marked or put aside, others told"


class ProposeForm(DealForm):
    """How to deal with it."""

    deed = ReportDeed.PROPOSE
    label = "Propose"
    asks = "How it is done, and why it will do"
    missing = "Say how it is done."
    hint = "Method, materials, extent; for use as is, why it is fit for use"

    disposition = forms.TypedChoiceField(
        label="What is proposed?",
        coerce=Disposition,
        choices=[(str(one), words) for one, words in _DISPOSITIONS.items()],
        widget=forms.RadioSelect,
        error_messages={"required": "Choose what is proposed."},
    )


class ApproveForm(DealForm):
    """The party entitled agrees."""

    deed = ReportDeed.APPROVE
    label = "Approve"


class ConcessionForm(ApproveForm):
    """The client grants a concession. Carries the inspection whose verdict the page shows."""

    beside: ClassVar[Mapping[str, str]] = {
        name: name for name in ("text", "concession_scope", "concession_until")
    }
    label = "Grant the concession"

    concession_scope = paragraph(
        "What the concession covers",
        Handling,
        "concession_scope",
        missing="Say what the concession covers.",
        help_text="Which characteristic, where, how much, which use; the certificate prints it",
    )
    concession_until = forms.DateField(
        label="Last day on which it holds",
        widget=forms.DateInput({"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": "Give the last day of the concession.",
            "invalid": "This is not a day: type it as 2027-05-12.",
        },
    )
    inspection_id = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def show(self, inspection_id: int | None) -> None:
        """Carry the inspection that the page shows now, also where another was sent."""
        self.fields["inspection_id"].initial = inspection_id
        if self.is_bound:
            self.data: Any = self.data.copy()
            self.data[self.add_prefix("inspection_id")] = inspection_id or ""


class DeclineForm(DealForm):
    """The party entitled does not agree."""

    deed = ReportDeed.DECLINE
    label = "Decline"
    asks = "Why it is declined"
    missing = "Say why, so that another way can be proposed."
    grave = True


class ImplementForm(DealForm):
    """The work is done."""

    deed = ReportDeed.IMPLEMENT
    label = "It is done"
    asks = "What was done"
    missing = "Say what was done."


class ReadingsForm(DealForm):
    """An inspection is named."""

    beside: ClassVar[Mapping[str, str]] = {"text": "text", "readings": "inspection_id"}

    inspection_id = forms.TypedChoiceField(
        label="By which inspection?",
        coerce=int,
        widget=forms.RadioSelect,
        error_messages={"required": "Choose the inspection."},
    )

    def offer(self, hand: RepairInHand, inspections: Sequence[Inspection]) -> None:
        """The inspections to choose from; the first is chosen."""
        field = self.fields["inspection_id"]
        field.choices = [  # type: ignore[attr-defined]
            (str(i.pk), f"{i.step}: {moment_text(i.observed_at, hand.zone)}, {i.recorded_by_name}")
            for i in inspections
        ]
        if inspections:
            field.initial = str(inspections[0].pk)


class ReinspectForm(ReadingsForm):
    """New readings conform."""

    deed = ReportDeed.REINSPECT
    label = "Take it as re-inspected"


class CloseForm(DealForm):
    """The report comes to its end."""

    deed = ReportDeed.CLOSE
    label = "Close the report"


class CorrectForm(ReadingsForm):
    """The reading was written wrongly, and is corrected."""

    deed = ReportDeed.CLOSE
    label = "Close it: only the entry was wrong"
    asks = "What was written wrongly"
    missing = "Say what was written wrongly."

    def said(self) -> dict[str, Any]:
        """A correction is the way this report is dealt with."""
        said = self.cleaned_data
        dealing = Dealing(
            deed=self.deed,
            text=said["text"],
            inspection_id=said["inspection_id"],
            disposition=Disposition.CORRECTION,
        )
        return {"dealing": dealing}


class ReopenForm(DealForm):
    """It was not dealt with after all."""

    deed = ReportDeed.REOPEN
    label = "Reopen the report"
    asks = "Why it is opened again"
    missing = "Say why."
    grave = True


FORMS: Mapping[str, type[DealForm]] = {
    str(form.deed): form
    for form in (
        ContainForm,
        ProposeForm,
        ApproveForm,
        DeclineForm,
        ImplementForm,
        ReinspectForm,
        CloseForm,
        ReopenForm,
    )
} | {CORRECT: CorrectForm}
"""The form of each deed, by the name of the way it goes."""
