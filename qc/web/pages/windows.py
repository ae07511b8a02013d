"""The time windows of a step as they stand now: what is left, what is over, what held."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from qc.engine.plan import Window, time_between
from qc.engine.wording import moment_text
from qc.records.progress import StepProgress
from qc.web.loading import RepairInHand
from qc.workflow.doubts.windows import windows_of

_WORDS = {
    "not_started": "Not running",
    "held": "Not yet",
    "open": "Running",
    "conforms": "Kept",
    "does_not_conform": "Not kept",
}


def windows_shown(hand: RepairInHand, progress: StepProgress) -> list[dict[str, str]]:
    """The windows that end at this step, and those that run from it to a later one."""
    own = [
        _line(hand, one.window, one.earlier, progress)
        for one in windows_of(progress, hand.progress)
    ]
    return [*own, *_running_from(hand, progress)]


def _running_from(hand: RepairInHand, progress: StepProgress) -> Iterator[dict[str, str]]:
    for later in hand.progress:
        for one in windows_of(later, hand.progress):
            if one.earlier.step.key == progress.step.key:
                yield _line(hand, one.window, one.earlier, later)


def _line(
    hand: RepairInHand, window: Window, earlier: StepProgress, later: StepProgress
) -> dict[str, Any]:
    before, after = earlier.step, later.step
    kind, said = _standing(hand, window, earlier.done_at, later.begun_at)
    return {
        "asked": f"{after.title}: {window.asked} after step {before.position}, {before.title}",
        "source": window.source,
        "kind": kind,
        "word": _WORDS[kind],
        "say": said.format(before=f"step {before.position}", after=after.title),
    }


def _standing(
    hand: RepairInHand, window: Window, done: datetime | None, begun: datetime | None
) -> tuple[str, str]:
    """(kind of stamp, how the window stands) at the moment of the page."""
    if done is None:
        return "not_started", "Runs from the last reading of {before}."
    if begun is None:
        return _running(hand, window, done)
    taken = f"begun {moment_text(begun, hand.zone)}, {time_between(done, begun)}"
    fault = window.fault(done, begun)
    if fault is None:
        return "conforms", f"{{after}} was {taken} after {{before}}."
    side = "before" if begun < done else "after"
    return "does_not_conform", f"{{after}} was {taken} {side} {{before}}."


def _running(hand: RepairInHand, window: Window, done: datetime) -> tuple[str, str]:
    now = hand.at.replace(second=0, microsecond=0) + timedelta(minutes=1)
    opens, closes = window.opens_at(done), window.closes_at(done)
    if opens is not None and hand.at < opens:
        return "held", f"{{after}} not before {moment_text(opens, hand.zone)}."
    if closes is None:
        return "open", "{after} may begin."
    by = moment_text(closes, hand.zone)
    if hand.at > closes:
        return "does_not_conform", f"Closed: {{after}} had to begin by {by}."
    left = time_between(min(now, closes), closes.replace(second=0, microsecond=0))
    return "open", f"{{after}} by {by}, {left} left."
