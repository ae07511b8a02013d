"""Reasons against an act on a step."""

from qc.engine.plan import Blocker, Party
from qc.records.progress import StepProgress


def on_step(progress: StepProgress, rule: str, problem: str) -> Blocker:
    """A reason that concerns what is entered on a step."""
    statement = f"Step {progress.step.position}, {progress.step.title}: {problem}."
    position = progress.step.position
    return Blocker(
        rule=rule, statement=statement, step=position, place="step", party=Party.INSPECTOR
    )
