"""What one revision of a plan changed in another: steps added, removed, moved, and each field."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from qc.records.templates import StepTemplate, stored_step


class Change(StrEnum):
    """What became of a step."""

    ADDED = "added"
    REMOVED = "removed"
    MOVED = "moved"
    CHANGED = "changed"


@dataclass(frozen=True, kw_only=True)
class FieldChange:
    """A field as it was and as it is, in the case format; None where it was not there.

    `path` names it: "title", "points.client", "criteria.min". Of a criterion, the sources stand
    beside its values; a source alone may have changed.
    """

    path: str
    before: Any
    after: Any
    source_before: str = ""
    source_after: str = ""


@dataclass(frozen=True, kw_only=True)
class StepChange:
    """What became of one step. `before` is None for a step that is new, `after` for one gone."""

    what: Change
    key: str
    before: StepTemplate | None
    after: StepTemplate | None
    position_before: int | None = None
    position_after: int | None = None
    fields: tuple[FieldChange, ...] = ()


def changes_between(
    before: Sequence[StepTemplate], after: Sequence[StepTemplate]
) -> tuple[StepChange, ...]:
    """Everything that differs, in the order of the newer plan; what was removed comes last.

    A step that was moved and changed occurs once for each.
    """
    return tuple(_changes(before, after))


def _changes(before: Sequence[StepTemplate], after: Sequence[StepTemplate]) -> Iterator[StepChange]:
    old = {step.key: (position, step) for position, step in enumerate(before, start=1)}
    new = {step.key for step in after}
    stayed = _in_order([s.key for s in before if s.key in new], [s.key for s in after])
    for position, step in enumerate(after, start=1):
        if step.key not in old:
            yield StepChange(
                what=Change.ADDED, key=step.key, before=None, after=step, position_after=position
            )
            continue
        was_at, was = old[step.key]
        same = StepChange(
            what=Change.MOVED,
            key=step.key,
            before=was,
            after=step,
            position_before=was_at,
            position_after=position,
        )
        if step.key not in stayed:
            yield same
        if fields := tuple(field_changes(was, step)):
            yield replace(same, what=Change.CHANGED, fields=fields)
    for key, (position, step) in old.items():
        if key not in new:
            yield StepChange(
                what=Change.REMOVED, key=key, before=step, after=None, position_before=position
            )


def _in_order(before: Sequence[str], after: Sequence[str]) -> frozenset[str]:
    """The longest run of steps that keep their order: the others are those that moved."""
    places = {key: place for place, key in enumerate(before)}
    best: list[tuple[str, ...]] = []
    for key in (key for key in after if key in places):
        shorter = (run for run in best if places[run[-1]] < places[key])
        best.append((*_longest(shorter), key))
    return frozenset(_longest(best))


def _longest(runs: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return max(runs, key=lambda run: len(run), default=())


_MAPPINGS = ("points", "qualifications")
_CRITERIA = ("criteria", "sources")


def field_changes(before: StepTemplate, after: StepTemplate) -> Iterator[FieldChange]:
    """The fields of a step that differ; criteria each with its source."""
    old, new = stored_step(before), stored_step(after)
    for name in old:
        if name in _CRITERIA:
            continue
        if name in _MAPPINGS:
            yield from _members(name, old[name], new[name])
        elif old[name] != new[name]:
            yield FieldChange(path=name, before=old[name], after=new[name])
    yield from _criteria(before, after)


def _members(name: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[FieldChange]:
    for member in dict.fromkeys([*old, *new]):
        if old.get(member) != new.get(member):
            yield FieldChange(
                path=f"{name}.{member}", before=old.get(member), after=new.get(member)
            )


def _criteria(before: StepTemplate, after: StepTemplate) -> Iterator[FieldChange]:
    for name in dict.fromkeys([*before.criteria, *after.criteria]):
        change = FieldChange(
            path=f"criteria.{name}",
            before=before.criteria.get(name),
            after=after.criteria.get(name),
            source_before=before.sources.get(name, ""),
            source_after=after.sources.get(name, ""),
        )
        same = change.before == change.after and change.source_before == change.source_after
        if not same:
            yield change
