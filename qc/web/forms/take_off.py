"""What to bring for a repair: the figures that the engine's take-offs ask for."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.http import QueryDict

from qc.engine.fields import Field
from qc.engine.take_off import TAKE_OFFS, TakeOff, take_off_case
from qc.web.forms.asking import AskingForm
from qc.web.forms.entries import Setting
from qc.web.loading import RepairInHand


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """One form of the page: a take-off, with what is settled by choosing this form."""

    key: str
    title: str
    of: TakeOff
    settled: Mapping[str, str]
    without: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()

    @property
    def given(self) -> tuple[Field, ...]:
        """The fields that are left to fill in."""
        out = {*self.settled, *self.without}
        return tuple(field for field in self.of.given if field.name not in out)


def _estimate(key: str, title: str, of: str, **more: Any) -> Estimate:
    return Estimate(key=key, title=title, of=TAKE_OFFS[of], **{"settled": {}, **more})


ESTIMATES: Mapping[str, Estimate] = {
    each.key: each
    for each in (
        _estimate(
            "patch",
            "Filler in a patch",
            "filler",
            settled={"shape": "patch"},
            without=("diameter",),
            needs=("length", "width", "depth"),
        ),
        _estimate(
            "ring",
            "Filler round a pipe",
            "filler",
            settled={"shape": "ring"},
            without=("width",),
            needs=("diameter", "length", "depth"),
        ),
        _estimate("coating", "Coating", "coating"),
        _estimate("wrap", "Wrap", "wrap"),
        _estimate("mixes", "Mixes", "mixes"),
    )
}
"""The forms of the page by key; the two shapes of a filler have different sides."""


class TakeOffForm(AskingForm):
    """The figures of one estimate. `answer` is the engine's, in the case format."""

    def __init__(self, estimate: Estimate, hand: RepairInHand, data: QueryDict) -> None:
        self.estimate = estimate
        setting = Setting(units=hand.repair.units, zone=hand.zone, criteria_fields=(), criteria={})
        declared = [
            replace(field, required=field.required or field.name in estimate.needs)
            for field in estimate.given
        ]
        super().__init__(declared, setting, data, _known(hand))

    def ask(self, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """The engine's estimate."""
        case = {"take_off": self.estimate.of.key, "given": {**given, **self.estimate.settled}}
        return take_off_case(case)


def _known(hand: RepairInHand) -> dict[str, Any]:
    """The component's diameter, and what the plan states of the area and of the pot life."""
    return {
        "diameter": hand.repair.asset.diameter,
        **{name: _stated(hand, name) for name in ("area", "pot_life")},
    }


def _stated(hand: RepairInHand, name: str) -> Any:
    """A criterion of the first step that states it; None where none does."""
    found = (step.criteria.get(name) for step in hand.plan.steps.all())
    return next((value for value in found if value), None)
