"""A form that stands for one act: sent twice it is done once, refused it keeps what was typed."""

from collections.abc import Callable, Mapping
from typing import Any, ClassVar, TypeVar
from uuid import UUID, uuid4

from django import forms

from qc.accounts.models import User
from qc.engine.lifecycle import Refused
from qc.ledger.chain import Entry, entry_of
from qc.web.announce import announce
from qc.web.templatetags.parts import printed

Done = TypeVar("Done")


class RefusableForm(forms.Form):
    """Keeps what was typed when what it stands for is refused.

    `beside` names, by a reason's rule, the field it stands at; other reasons stand above all.
    """

    use_required_attribute = False
    beside: ClassVar[Mapping[str, str]] = {}
    refused = False

    @property
    def status(self) -> int:
        """The HTTP status of the page that shows this form: 409 after a refusal."""
        return 409 if self.refused else 200

    def attempt(self, act: Callable[..., Done], **facts: Any) -> Done | None:
        """Do `act`; refused, it is None and every reason is an error."""
        try:
            return act(**facts)
        except Refused as refused:
            self.refused = True
            for reason in refused.reasons:
                self.add_error(self.beside.get(reason.rule), printed(reason.statement))
            return None


class ActForm(RefusableForm):
    """Carries the id of its act. A form of its kind says in `said` what the act is told."""

    act_id = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["act_id"].initial = uuid4
        self.fields["act_id"].error_messages = dict.fromkeys(
            ("required", "invalid"), "The form has lost its number: open the page again."
        )

    def said(self) -> dict[str, Any]:
        """What a valid form says, by name of the act's argument."""
        return {k: v for k, v in self.cleaned_data.items() if k != "act_id"}

    def perform(self, act: Callable[..., Entry], *, actor: User, **facts: Any) -> Entry | None:
        """Do `act` with what the form says and `facts`; its entry, or None with the errors.

        Sent a second time, the form finds the entry that it left: what is in the way by then (the
        verdict it brought about, say) is no error. Refused, every reason is an error.
        """
        done = self._done(act.__name__, actor, facts.get("repair_id", facts.get("project_id")))
        if done or not self.is_valid():
            return done
        return self.carry_out(act, actor=actor, **facts, **self.said())

    def carry_out(self, act: Callable[..., Entry], **facts: Any) -> Entry | None:
        """Do `act` under the id of this valid form; refused, it is None and reasons are errors.

        Those whom it concerns are written to, unless the same form has done it before.
        """
        entry = self.attempt(act, act_id=self.cleaned_data["act_id"], **facts)
        if entry is not None and entry.recorded_at == facts.get("at"):
            announce(entry)
        return entry

    def _done(self, act: str, actor: User, subject_id: int | None) -> Entry | None:
        try:
            entry = entry_of(UUID(self["act_id"].data))
        except (AttributeError, TypeError, ValueError):
            return None
        if entry is None or (entry.act, entry.actor_id) != (act, actor.pk):
            return None
        return entry if subject_id in (None, entry.subject_id) else None
