"""Time windows that the real times break, as the readings stand now.

The later step counts from the first moment observed in its current series, the earlier one from
the last moment of its own: a correction or a new series of either moves the window.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from qc.engine.nonconformance import Origin
from qc.engine.plan import Doubt, Fault, Party, Window, time_between
from qc.engine.wording import moment_text
from qc.records.progress import StepProgress
from qc.workflow.doubts.conceded import conceded_until
from qc.workflow.doubts.source import Doubts, Progress


@dataclass(frozen=True, kw_only=True)
class OpenWindow:
    """A window of a step, and the earlier step that it runs from. `done` is None before that."""

    window: Window
    earlier: StepProgress
    done: datetime | None


def windows_of(progress: StepProgress, steps: tuple[StepProgress, ...]) -> tuple[OpenWindow, ...]:
    """The windows of a step among the steps of its repair."""
    by_key = {other.step.key: other for other in steps}
    return tuple(
        OpenWindow(window=window, earlier=earlier, done=earlier.done_at)
        for window in progress.step.typed_windows()
        if (earlier := by_key.get(window.after)) is not None
    )


def broken_windows(progress: Progress) -> Doubts:
    """A doubt for each window that a step's times break."""
    for repair, steps in progress.items():
        zone = ZoneInfo(repair.project.time_zone)
        for step in steps:
            for doubt in _broken(step, steps, zone):
                yield repair.pk, step.step.key, doubt


def _broken(step: StepProgress, steps: tuple[StepProgress, ...], zone: ZoneInfo) -> Iterator[Doubt]:
    begun = step.begun_at
    if begun is None:
        return
    first = [inspection for inspection in step.standing if inspection.observed_at == begun][:1]
    for statement in breaches(step, steps, zone):
        yield Doubt(
            rule="window",
            statement=statement,
            place="step",
            party=Party.INSPECTOR,
            conceded_until=conceded_until(step, Origin.WINDOW, first),
        )


def breaches(
    step: StepProgress, steps: tuple[StepProgress, ...], zone: ZoneInfo
) -> tuple[str, ...]:
    """What breaks the windows of a step: times, limit and source of each in words."""
    begun = step.begun_at
    if begun is None:
        return ()
    return tuple(
        _said(fault, one, begun, zone)
        for one in windows_of(step, steps)
        if one.done is not None and (fault := one.window.fault(one.done, begun))
    )


_BREACH = {Fault.EARLY: "too early", Fault.LATE: "too late", Fault.REVERSED: "in the wrong order"}


def _said(fault: Fault, one: OpenWindow, begun: datetime, zone: ZoneInfo) -> str:
    earlier = one.earlier.step
    done = one.done or begun
    side = "before" if fault is Fault.REVERSED else "after"
    return (
        f"{_BREACH[fault]}: begun {_clock(begun, zone)}, {time_between(done, begun)} {side}"
        f" step {earlier.position}, {earlier.title} ({_clock(done, zone)});"
        f" {one.window.asked} is allowed ({one.window.source})"
    )


def _clock(moment: datetime, zone: ZoneInfo) -> str:
    """To the second where it has some: two moments that differ never print alike."""
    fraction = f".{moment:%f}".rstrip("0") if moment.microsecond else ""
    seconds = f":{moment:%S}{fraction}" if moment.second or fraction else ""
    return moment_text(moment, zone) + seconds
