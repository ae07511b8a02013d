"""Steps that rest on an earlier one which does not hold, or was done again since.

A step is relied on from the first moment observed in its current series. A prerequisite whose own
current series began only after that was not there to rest on. The doubt goes when the step is
inspected again in a new series, or when the prerequisite conforms again as it stood before.
"""

from collections.abc import Iterator, Mapping
from zoneinfo import ZoneInfo

from qc.engine.plan import Doubt, Party
from qc.engine.rules import Outcome
from qc.engine.wording import moment_text
from qc.records.progress import StepProgress
from qc.workflow.doubts.source import Doubts, Progress


def unsound_prerequisites(progress: Progress) -> Doubts:
    """A doubt for each prerequisite that a recorded step can't rest on."""
    for repair, steps in progress.items():
        zone = ZoneInfo(repair.project.time_zone)
        by_key = {step.step.key: step for step in steps}
        for step in steps:
            for statement in _unsound(step, by_key, zone):
                doubt = Doubt(
                    rule="prerequisite", statement=statement, place="step", party=Party.INSPECTOR
                )
                yield repair.pk, step.step.key, doubt


def _unsound(
    step: StepProgress, by_key: Mapping[str, StepProgress], zone: ZoneInfo
) -> Iterator[str]:
    begun = step.begun_at
    if begun is None:
        return
    for key in step.step.prerequisites:
        rests_on = by_key.get(key)
        if rests_on is None:
            continue
        named = f"rests on step {rests_on.step.position}, {rests_on.step.title}, which"
        first = rests_on.begun_at
        if first is None or not rests_on.is_accepted:
            yield f"{named} {_STATES[rests_on.outcome]}"
        elif first > begun:
            again = " again" if rests_on.series > 1 else ""
            yield f"{named} was inspected{again} later, on {moment_text(first, zone)}"


_STATES = {
    None: "has not been inspected",
    Outcome.CONFORMS: "has not been inspected",
    Outcome.DOES_NOT_CONFORM: "does not conform",
    Outcome.INCOMPLETE: "is incomplete",
    Outcome.CANNOT_BE_JUDGED: "cannot be judged",
}
