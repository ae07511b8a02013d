"""What a revision of a plan changed, in words."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any
from zoneinfo import ZoneInfo

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.plan import Window
from qc.engine.wording import Asked, asked_of, value_text
from qc.records.plan_changes import Change, FieldChange, StepChange, changes_between
from qc.records.templates import StepTemplate
from qc.web.forms.instruments import kind_label

LABELS = {
    "title": "Title",
    "activity": "Activity",
    "characteristic": "Checks",
    "reference": "Reference document",
    "sampling": "Sampling",
    "rows": "Readings an entry page offers",
    "instrument_kinds": "Instruments",
    "needs_batch": "Batch named",
    "evidence": "Evidence",
    "cautions": "Cautions",
    "prerequisites": "Rests on",
    "windows": "Time windows",
}


def changes_shown(
    before: Sequence[StepTemplate], after: Sequence[StepTemplate], zone: ZoneInfo
) -> list[dict[str, str]]:
    """What differs, a line a field, as the part of definitions draws it."""
    names = {step.key: step.title for step in (*before, *after)}
    lines = []
    for change in changes_between(before, after):
        lines += [{"term": t, "definition": d} for t, d in _lines(change, names, zone)]
    return lines


def _lines(
    change: StepChange, names: Mapping[str, str], zone: ZoneInfo
) -> Iterator[tuple[str, str]]:
    step = change.after or change.before
    if step is None:
        return
    named = f"{change.position_after or change.position_before} {step.title}"
    match change.what:
        case Change.ADDED:
            yield named, "added to the plan"
        case Change.REMOVED:
            yield named, "taken out of the plan; what was recorded on it stays in the record"
        case Change.MOVED:
            yield named, f"moved: it was step {change.position_before}"
        case Change.CHANGED:
            for field in change.fields:
                label, was, now = _field(change, field, names, zone)
                yield f"{named}: {label}", f"{was} became {now}"


def _field(
    change: StepChange, field: FieldChange, names: Mapping[str, str], zone: ZoneInfo
) -> tuple[str, str, str]:
    """(label, before, after) of a field in words."""
    name, _, member = field.path.partition(".")
    if name == "criteria":
        return _criterion(change, member, zone)
    said = _SAID.get(name, lambda value, _: str(value) if value else "nothing")
    label = LABELS.get(name) or f"{name[:-1].capitalize()} of the {member}"
    return label, said(field.before, names), said(field.after, names)


def _criterion(change: StepChange, name: str, zone: ZoneInfo) -> tuple[str, str, str]:
    label = name
    texts = []
    for step in (change.before, change.after):
        texts.append(limit_text(step, name, zone) if step else "no limit")
        if step is not None:
            checks = CHARACTERISTICS[step.characteristic]
            label = next((f.label for f in checks.criteria if f.name == name), label)
    return label, texts[0], texts[1]


def limit_text(step: StepTemplate, name: str, zone: ZoneInfo) -> str:
    """A limit of a step in words, with its source."""
    if name not in step.criteria:
        return "no limit"
    checks = CHARACTERISTICS[step.characteristic]
    asked = {a.name: a for a in asked_of(checks, step.criteria, step.sources, zone)}
    if name in asked:
        return _in_words(asked[name])
    field = next(f for f in checks.criteria if f.name == name)
    return f"{value_text(field, step.criteria[name], zone)} ({step.sources.get(name, '')})"


def _in_words(asked: Asked) -> str:
    return f"{'; '.join(asked.lines) or asked.text} ({asked.source})"


def window_text(raw: Mapping[str, str], names: Mapping[str, str]) -> str:
    """A window in words: "at most 4 h after Surface blasted (common practice)"."""
    window = Window.parse(raw, "window")
    return f"{window.asked} after {names.get(window.after, window.after)} ({window.source})"


def point_text(code: str | None) -> str:
    """An intervention, or that there is none."""
    return code or "no point"


_Said = Callable[[Any, Mapping[str, str]], str]
_SAID: Mapping[str, _Said] = {
    "characteristic": lambda value, _: CHARACTERISTICS[value].title,
    "instrument_kinds": lambda value, _: ", ".join(map(kind_label, value)) or "none",
    "needs_batch": lambda value, _: "yes" if value else "no",
    "evidence": lambda value, _: "; ".join(item["label"] for item in value) or "none",
    "cautions": lambda value, _: " ".join(value) or "none",
    "prerequisites": lambda value, names: ", ".join(names.get(k, k) for k in value) or "nothing",
    "windows": lambda value, names: "; ".join(window_text(w, names) for w in value) or "none",
    "points": lambda value, _: point_text(value),
    "qualifications": lambda value, _: ", ".join(value or ()) or "none",
}
