"""Where to measure: the rule that says how many places, and the surface they are spread over."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.http import QueryDict

from qc.engine.fields import Field, InvalidValue, Kind
from qc.engine.sampling import FIELDS, Rule, propose_case
from qc.records.models import PlanStep
from qc.web.forms.asking import AskingForm
from qc.web.forms.entries import Setting
from qc.web.loading import RepairInHand

ROUND, FLAT = "round", "flat"

RULE_WORDS: Mapping[str, str] = {
    Rule.ISO19840: "ISO 19840",
    Rule.PA2: "SSPC-PA 2",
    Rule.NINETY_TEN: "90/10",
    Rule.PROFILE: "locations of the surface profile, by area",
    Rule.COMPARATOR: "locations of the comparator, by area",
    Rule.SALTS: "extractions of soluble salts, by area",
    Rule.ONE_EACH: "one place for each stated area",
}
"""The rules as a page names them."""

_SURFACE = Field(
    name="surface",
    label="Surface",
    kind=Kind.CHOICE,
    choices=(ROUND, FLAT),
    labels={ROUND: "all round a pipe", FLAT: "a flat surface, or one side of it"},
    required=True,
)
_HELP = {
    "length": "along the pipe, or of the flat surface",
    "breadth": "of a flat surface",
    "diameter": "of the pipe; not used for a flat surface",
    "places_min": "where more are wanted than the rule asks for",
    "spacing": "half of it is kept from the edges",
    "one_each": "how large an area has one place, by the rule of that name",
}


@dataclass(frozen=True)
class Rules:
    """The rules open to a step; `stated` where its plan leaves no choice."""

    choices: tuple[Rule, ...]

    @property
    def stated(self) -> Rule | None:
        """The one rule, or None where the inspector chooses."""
        return self.choices[0] if len(self.choices) == 1 else None


def rules_of(step: PlanStep) -> Rules | None:
    """The rules by which places of `step` are counted; None where it is not read at places."""
    places = step.checks.places
    if places is None:
        return None
    return Rules(tuple(Rule(rule) for rule in places.counted_by(step.typed_criteria())))


class WhereForm(AskingForm):
    """The surface and the rule of one step. `answer` is the proposal, in the case format."""

    def __init__(self, hand: RepairInHand, step: PlanStep, rules: Rules, data: QueryDict) -> None:
        self.rules = rules
        self.seed = f"{hand.repair.number} step {step.position}"
        setting = Setting(units=hand.repair.units, zone=hand.zone, criteria_fields=(), criteria={})
        super().__init__(list(_declared(rules)), setting, data, _known(hand, step))
        self.needs("breadth", "diameter")
        if rules.stated is Rule.ONE_EACH:
            self.needs("one_each")

    def ask(self, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """The engine's proposal."""
        return propose_case({"rule": self.rules.stated, **self._sides(given), "seed": self.seed})

    def check(self) -> None:
        """What the chosen surface and rule need; what belongs to others is refused, not ignored."""
        super().check()
        is_flat = self.cleaned_data.get("surface") == FLAT
        if "surface" in self.cleaned_data:
            self.miss("breadth" if is_flat else "diameter")
        if not is_flat and self.cleaned_data.get("breadth"):
            self._refuse_idle("breadth", "a flat surface")
        if self._rule() is Rule.ONE_EACH:
            self.miss("one_each")
        elif self.cleaned_data.get("one_each"):
            self._refuse_idle("one_each", f"the rule “{RULE_WORDS[Rule.ONE_EACH]}”")

    def refuse(self, refusal: InvalidValue) -> None:
        """Places that do not fit are too far apart, or too many."""
        if refusal.path == "sampling" and self.cleaned_data.get("spacing"):
            refusal = InvalidValue("sampling.spacing", f"leaves no room: {refusal.problem}")
        super().refuse(refusal)

    def _refuse_idle(self, name: str, whose: str) -> None:
        self.add_error(name, f"{self.fields[name].label} belongs to {whose}: leave it empty.")

    def _sides(self, given: Mapping[str, Any]) -> dict[str, Any]:
        """Without the diameter where the surface is flat: the record offered it."""
        sides = {name: value for name, value in given.items() if name != "surface"}
        if given["surface"] == FLAT:
            sides.pop("diameter", None)
        return sides

    def _rule(self) -> Rule | None:
        chosen = self.rules.stated or self.cleaned_data.get("rule")
        return Rule(chosen) if chosen else None


def _declared(rules: Rules) -> Iterable[Field]:
    """The engine's own fields that a person fills in, in the order of the page."""
    yield _SURFACE
    for field in FIELDS:
        shown = replace(field, help=_HELP.get(field.name, field.help))
        match field.name:
            case "seed":
                continue
            case "rule" if rules.stated is None:
                yield replace(shown, choices=rules.choices, labels=RULE_WORDS)
            case "rule":
                continue
            case "one_each" if Rule.ONE_EACH not in rules.choices:
                continue
            case "length":
                yield replace(shown, required=True)
            case _:
                yield shown


def _known(hand: RepairInHand, step: PlanStep) -> dict[str, Any]:
    """What the record says of the surface and of the number."""
    diameter = hand.repair.asset.diameter
    least = step.criteria.get(step.checks.places.least) if step.checks.places else None
    found = {"surface": ROUND, "diameter": diameter} if diameter else {}
    return {**found, **({"places_min": str(least)} if least else {})}
