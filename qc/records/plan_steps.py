"""The steps of a plan apart from their rows: to change them, to compare them, to write them."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from qc.records.models import Plan, PlanStep
from qc.records.templates import StepTemplate, step_from, stored_step


def steps_of(plan: Plan) -> tuple[StepTemplate, ...]:
    """The steps of a plan as a draft to change."""
    return tuple(as_drafted(step) for step in plan.steps.all())


def as_drafted(row: PlanStep) -> StepTemplate:
    """A step of a plan as a draft to change."""
    columns = (name for name in StepTemplate.__dataclass_fields__)
    return step_from({name: getattr(row, name) for name in columns})


def with_criteria(
    steps: Sequence[StepTemplate], key: str, criteria: dict[str, Any], sources: dict[str, str]
) -> tuple[StepTemplate, ...]:
    """The same steps with other criteria for the step `key`."""
    return tuple(
        replace(step, criteria=criteria, sources=sources) if step.key == key else step
        for step in steps
    )


def is_same(one: StepTemplate, other: StepTemplate) -> bool:
    """Whether two steps say the same; their places in the plan don't matter."""
    return stored_step(one) == stored_step(other)
