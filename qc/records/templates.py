"""The library of plan templates: one TOML file each, every criterion checked by the engine."""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from typing import Any

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import InvalidValue
from qc.engine.plan import Intervention, Party, Window, terms_of

TRADES = ("applicator", "inspector")
"""The trades for which a step can ask qualified people."""


@dataclass(frozen=True, kw_only=True)
class StepTemplate:
    """A step as a template or a draft gives it; the same fields as a plan's step."""

    key: str
    title: str
    activity: str
    characteristic: str
    sampling: str
    criteria: Mapping[str, Any]
    sources: Mapping[str, str] = field(default_factory=dict)
    reference: str = ""
    rows: int = 1
    instrument_kinds: tuple[str, ...] = ()
    needs_batch: bool = False
    points: Mapping[str, str] = field(default_factory=dict)
    evidence: tuple[Mapping[str, str], ...] = ()
    cautions: tuple[str, ...] = ()
    prerequisites: tuple[str, ...] = ()
    windows: tuple[Mapping[str, str], ...] = ()
    qualifications: Mapping[str, Sequence[str]] = field(default_factory=dict)


SHIPPED = "shipped"
"""The revision of a template that comes with the program."""


@dataclass(frozen=True, kw_only=True)
class PlanTemplate:
    """A template: its steps in order, and the cautions of the work as a whole.

    `to_state` names, by step, criteria that no template can offer; the plan states one of them.
    `terms` are those of a plan: what each intervention is called, and the notice it wants.
    `revision` is SHIPPED, or the number that the project gave it.
    """

    key: str
    title: str
    summary: str
    steps: tuple[StepTemplate, ...]
    cautions: tuple[str, ...] = ()
    to_state: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    revision: str = SHIPPED
    terms: Mapping[str, Any] = field(default_factory=dict)

    @property
    def reference(self) -> str:
        """How a plan names the template it was drafted from: "composite_wrap/shipped"."""
        return f"{self.key}/{self.revision}"


def check_step(step: StepTemplate) -> None:
    """InvalidValue if the step's characteristic, criteria, sources, points or windows are wrong."""
    characteristic = CHARACTERISTICS.get(step.characteristic)
    if characteristic is None:
        raise InvalidValue("characteristic", f"{step.characteristic!r} is unknown")
    criteria = characteristic.parse_criteria(dict(step.criteria), step.sources)
    for name in step.criteria:
        if name in criteria and not step.sources.get(name, "").strip():
            raise InvalidValue(f"sources.{name}", "every criterion states its source")
    for party, code in step.points.items():
        if party not in list(Party) or code not in list(Intervention):
            raise InvalidValue(f"points.{party}", f"{code!r} is no intervention of a party")
    for number, window in enumerate(step.windows):
        Window.parse(window, f"windows[{number}]")
    _check_people(step)


def _check_people(step: StepTemplate) -> None:
    for trade, scopes in step.qualifications.items():
        if trade not in TRADES or not all(str(scope).strip() for scope in scopes):
            allowed = f"a trade is one of {', '.join(TRADES)}, and a scope is some text"
            raise InvalidValue(f"qualifications.{trade}", allowed)


@cache
def plan_templates() -> Mapping[str, PlanTemplate]:
    """All shipped templates by key, in the order of their file names."""
    folder = resources.files("qc.records") / "plan_templates"
    files = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
    raw = {made["key"]: made for made in (tomllib.loads(f.read_text("utf-8")) for f in files)}
    return {key: _read(_whole(raw, key)) for key in raw}


def _whole(raw: Mapping[str, Mapping[str, Any]], key: str) -> Mapping[str, Any]:
    """A template with the steps and cautions of the one it builds on; own steps stand `before`."""
    own = raw[key]
    if "builds_on" not in own:
        return own
    base = _whole(raw, own["builds_on"])
    steps = list(base["steps"])
    for step in own["steps"]:
        place = [step_below["key"] for step_below in steps].index(step["before"])
        steps.insert(place, {name: value for name, value in step.items() if name != "before"})
    return {
        **own,
        "steps": steps,
        "cautions": [*base["cautions"], *own.get("cautions", ())],
        "terms": {**base.get("terms", {}), **own.get("terms", {})},
    }


def _read(raw: Mapping[str, Any]) -> PlanTemplate:
    steps = tuple(step_from(step) for step in raw["steps"])
    for step in steps:
        check_step(step)
    terms_of(raw.get("terms", {}))
    return PlanTemplate(
        key=raw["key"],
        title=raw["title"],
        summary=raw["summary"],
        steps=steps,
        cautions=tuple(raw.get("cautions", ())),
        terms=raw.get("terms", {}),
        to_state=to_state_of(raw["steps"]),
    )


def to_state_of(steps: Sequence[Mapping[str, Any]]) -> dict[str, tuple[str, ...]]:
    """What stored steps leave to the plan to state, by step."""
    return {step["key"]: tuple(step["to_state"]) for step in steps if "to_state" in step}


_LISTS = ("instrument_kinds", "evidence", "cautions", "prerequisites", "windows")


def step_from(stored: Mapping[str, Any]) -> StepTemplate:
    """A step as a file or a row keeps it."""
    columns: dict[str, Any] = {
        name: tuple(value) if name in _LISTS else value
        for name, value in stored.items()
        if name != "to_state"
    }
    return StepTemplate(**columns)


def stored_step(step: StepTemplate) -> dict[str, Any]:
    """A step as a row keeps it: JSON types only."""
    return {
        **vars(step),
        "criteria": dict(step.criteria),
        "sources": dict(step.sources),
        "points": dict(step.points),
        "instrument_kinds": list(step.instrument_kinds),
        "evidence": [dict(item) for item in step.evidence],
        "cautions": list(step.cautions),
        "prerequisites": list(step.prerequisites),
        "windows": [dict(window) for window in step.windows],
        "qualifications": {trade: list(scopes) for trade, scopes in step.qualifications.items()},
    }
