"""What keeps the steps of a plan from being put before the client: every problem at once."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

from django.db import models

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import InvalidValue
from qc.records.models import PlanStep
from qc.records.templates import StepTemplate, check_step

MOST_ROWS = 200
"""As many readings as an entry page has room for."""

TRADES = ("inspector", "applicator")
"""Whose qualifications a step may ask for."""

_KEY = re.compile(r"[a-z0-9][a-z0-9_-]{0,59}")
_NEEDED = ("title", "activity", "sampling")
_LONGEST = {
    name: cast("models.CharField[Any, Any]", PlanStep._meta.get_field(name)).max_length or 0
    for name in (*_NEEDED, "reference")
}


@dataclass(frozen=True, kw_only=True)
class Problem:
    """What is wrong with a step: its position and title, the field's path, and why."""

    position: int
    title: str
    path: str
    problem: str

    @property
    def statement(self) -> str:
        """The problem in a sentence that names step and field."""
        return f"Step {self.position}, {self.title}: {self.path}: {self.problem}."


def problems_of(steps: Sequence[StepTemplate]) -> tuple[Problem, ...]:
    """Everything that keeps `steps` from being a plan; empty if they are one."""
    return tuple(
        Problem(
            position=position, title=step.title or step.key, path=wrong.path, problem=wrong.problem
        )
        for position, step in enumerate(steps, start=1)
        for wrong in (*step_problems(step), *_out_of_order(step, steps[: position - 1], steps))
    )


def step_problems(step: StepTemplate) -> tuple[InvalidValue, ...]:
    """What is wrong with a step by itself."""
    return (*_texts(step), *_lists(step), *_by_the_engine(step))


def _by_the_engine(step: StepTemplate) -> Iterator[InvalidValue]:
    try:
        check_step(step)
    except InvalidValue as wrong:
        yield wrong


def _texts(step: StepTemplate) -> Iterator[InvalidValue]:
    if not _KEY.fullmatch(step.key):
        yield InvalidValue("key", f"{step.key[:60]!r} is not small letters, digits, - and _")
    for name, most in _LONGEST.items():
        text = getattr(step, name)
        if name in _NEEDED and not text.strip():
            yield InvalidValue(name, "is required")
        if len(text) > most:
            yield InvalidValue(name, f"{len(text)} characters are more than {most}")
    if not 1 <= step.rows <= MOST_ROWS:
        yield InvalidValue("rows", f"{step.rows} is not between 1 and {MOST_ROWS}")


def _lists(step: StepTemplate) -> Iterator[InvalidValue]:
    known = {kind for checks in CHARACTERISTICS.values() for kind in checks.instruments}
    for kind in step.instrument_kinds:
        if kind not in known:
            yield InvalidValue("instrument_kinds", f"{kind!r} is no kind of instrument")
    seen: set[str] = set()
    for number, item in enumerate(step.evidence):
        yield from _evidence(item, seen, f"evidence[{number}]")
    for trade in step.qualifications:
        if trade not in TRADES:
            yield InvalidValue(f"qualifications.{trade}", f"is none of: {', '.join(TRADES)}")


def _evidence(item: Mapping[str, Any], seen: set[str], path: str) -> Iterator[InvalidValue]:
    for name in ("key", "label", "kind"):
        if not str(item.get(name, "")).strip():
            yield InvalidValue(f"{path}.{name}", "is required")
    key = str(item.get("key", ""))
    if key in seen:
        yield InvalidValue(f"{path}.key", f"{key!r} stands twice")
    seen.add(key)


def _out_of_order(
    step: StepTemplate, earlier: Sequence[StepTemplate], steps: Sequence[StepTemplate]
) -> Iterator[InvalidValue]:
    """What a step says of others: they must exist, and come before it."""
    before = {other.key for other in earlier}
    if step.key in before:
        yield InvalidValue("key", f"{step.key!r} stands twice in the plan")
    named = [(f"prerequisites[{n}]", key) for n, key in enumerate(step.prerequisites)]
    named += [(f"windows[{n}].after", w.get("after", "")) for n, w in enumerate(step.windows)]
    titles = {other.key: other.title for other in steps}
    for path, key in named:
        if key not in titles:
            yield InvalidValue(path, f"the plan has no step {key!r}")
        elif key not in before:
            yield InvalidValue(path, f"{titles[key]!r} does not come before this step")
    yield from _twice(step)


def _twice(step: StepTemplate) -> Iterator[InvalidValue]:
    for path, keys in (
        ("prerequisites", list(step.prerequisites)),
        ("windows", [window.get("after", "") for window in step.windows]),
    ):
        for key in sorted({key for key in keys if keys.count(key) > 1}):
            yield InvalidValue(path, f"the step {key!r} stands twice")
