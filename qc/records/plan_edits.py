"""Changes of the steps of a plan: each takes the steps and gives the changed ones back."""

from collections.abc import Collection, Sequence
from dataclasses import replace

from qc.engine.characteristics import CHARACTERISTICS
from qc.records.templates import StepTemplate

Steps = tuple[StepTemplate, ...]


class NoSuchStep(LookupError):
    """The plan has no step of that key."""


def moved(steps: Sequence[StepTemplate], key: str, by: int) -> Steps:
    """The step `key` so many places further down, or up where `by` is below zero."""
    at = place_of(steps, key)
    others = [step for step in steps if step.key != key]
    others.insert(min(max(at + by, 0), len(others)), steps[at])
    return tuple(others)


def duplicated(steps: Sequence[StepTemplate], key: str) -> Steps:
    """A copy of the step `key` after it, under a key of its own."""
    at = place_of(steps, key)
    twin = replace(steps[at], key=free_key(key, [step.key for step in steps]))
    return (*steps[: at + 1], twin, *steps[at + 1 :])


def removed(steps: Sequence[StepTemplate], key: str) -> Steps:
    """The plan without the step `key`."""
    at = place_of(steps, key)
    return (*steps[:at], *steps[at + 1 :])


def replaced(steps: Sequence[StepTemplate], step: StepTemplate) -> Steps:
    """The plan with another content for the step of the same key."""
    at = place_of(steps, step.key)
    return (*steps[:at], step, *steps[at + 1 :])


def added(
    steps: Sequence[StepTemplate], step: StepTemplate, after: str, taken: Collection[str] = ()
) -> Steps:
    """The plan with a step more, after the step of the key `after`, or at the start for "".

    It gets a key that neither the plan has nor `taken` names, and rests only on steps before it.
    """
    at = place_of(steps, after) + 1 if after else 0
    before = {other.key for other in steps[:at]}
    fitting = replace(
        step,
        key=free_key(step.key, [*(other.key for other in steps), *taken]),
        prerequisites=tuple(key for key in step.prerequisites if key in before),
        windows=tuple(window for window in step.windows if window["after"] in before),
    )
    return (*steps[:at], fitting, *steps[at:])


def blank_step(characteristic: str) -> StepTemplate:
    """A step that checks a characteristic and says nothing yet. KeyError for an unknown one."""
    checks = CHARACTERISTICS[characteristic]
    return StepTemplate(
        key=checks.key,
        title=checks.title,
        activity="",
        characteristic=checks.key,
        sampling="",
        criteria={},
        instrument_kinds=tuple(checks.instruments),
    )


def place_of(steps: Sequence[StepTemplate], key: str) -> int:
    """Where the step `key` stands, counted from 0. NoSuchStep if it doesn't."""
    for place, step in enumerate(steps):
        if step.key == key:
            return place
    raise NoSuchStep(key)


def free_key(key: str, taken: Collection[str]) -> str:
    """`key`, or with the first number behind it that is free."""
    number, free = 2, key
    while free in taken:
        free = f"{key[:55]}-{number}"
        number += 1
    return free
