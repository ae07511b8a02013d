"""The inspection and test plan: steps, intervention points, and what stands open before release."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from qc.engine.rules import Outcome


class Party(StrEnum):
    """The three parties that share the record."""

    INSPECTOR = "inspector"
    CONTRACTOR = "contractor"
    CLIENT = "client"


class Intervention(StrEnum):
    """What a party does at a step. A hold stops the work; surveillance stops nothing."""

    HOLD = "hold"
    WITNESS = "witness"
    REVIEW = "review"
    SURVEILLANCE = "surveillance"

    @property
    def gates_release(self) -> bool:
        """True where the point must be closed before the certificate."""
        return self is not Intervention.SURVEILLANCE


@dataclass(frozen=True, kw_only=True)
class Blocker:
    """One thing that stands between the repair and its release.

    `rule` names what is broken, `step` the step's position (None for the repair as a whole),
    `place` the page that clears it, `party` who can.
    """

    rule: str
    statement: str
    step: int | None
    place: str
    party: Party


@dataclass(frozen=True, kw_only=True)
class Point:
    """An intervention point of one party at one step, open or closed."""

    party: Party
    intervention: Intervention
    closed: bool


@dataclass(frozen=True, kw_only=True)
class InstrumentUse:
    """An instrument and the day it was used; `covered_until` is the due day of its calibration."""

    identifier: str
    used_on: date
    in_calibration: bool
    covered_until: date | None


@dataclass(frozen=True, kw_only=True)
class BatchUse:
    """A batch and the day it was used; it may be used through the day it expires."""

    number: str
    used_on: date
    expiry: date | None


@dataclass(frozen=True, kw_only=True)
class StepFacts:
    """What is known of one step. `outcome` is that of its latest verdict, None before any."""

    position: int
    title: str
    outcome: Outcome | None
    points: tuple[Point, ...] = ()
    evidence_missing: tuple[str, ...] = ()
    instruments: tuple[InstrumentUse, ...] = ()
    batches: tuple[BatchUse, ...] = ()

    @property
    def is_held(self) -> bool:
        """True while a hold point of this step is open."""
        return any(p.intervention is Intervention.HOLD and not p.closed for p in self.points)


def holds_before(steps: tuple[StepFacts, ...], position: int) -> tuple[Blocker, ...]:
    """The open hold points of earlier steps: work cannot be recorded past them."""
    return tuple(
        blocker
        for step in steps
        if step.position < position
        for blocker in _open_points(step)
        if blocker.rule == "hold"
    )


def open_items(steps: tuple[StepFacts, ...]) -> tuple[Blocker, ...]:
    """Everything that stands open, of every step at once: outcomes, points, evidence, means."""
    if not steps:
        return (_blocker("plan", "The plan has no step.", None, "plan", Party.CONTRACTOR),)
    return tuple(blocker for step in steps for blocker in _open_in(step))


def _open_in(step: StepFacts) -> Iterator[Blocker]:
    yield from _outcome_open(step)
    yield from _points_to_close(step)
    for label in step.evidence_missing:
        statement = f"{_name(step)}: evidence missing: {label}."
        yield _blocker("evidence", statement, step.position, "evidence", Party.CONTRACTOR)
    yield from _out_of_calibration(step)
    yield from _out_of_shelf_life(step)


_OUTCOME_STATEMENTS = {
    None: "nothing has been recorded",
    Outcome.DOES_NOT_CONFORM: "the latest verdict does not conform",
    Outcome.INCOMPLETE: "readings are incomplete",
    Outcome.CANNOT_BE_JUDGED: "the readings cannot be judged",
}


def _outcome_open(step: StepFacts) -> Iterator[Blocker]:
    if step.outcome is not Outcome.CONFORMS:
        statement = f"{_name(step)}: {_OUTCOME_STATEMENTS[step.outcome]}."
        rule = "reading" if step.outcome else "not_started"
        yield _blocker(rule, statement, step.position, "step", Party.INSPECTOR)


def _open_points(step: StepFacts) -> Iterator[Blocker]:
    for point in step.points:
        if point.intervention.gates_release and not point.closed:
            statement = f"{_name(step)}: {point.intervention} point of the {point.party} is open."
            yield _blocker(str(point.intervention), statement, step.position, "point", point.party)


def _points_to_close(step: StepFacts) -> Iterator[Blocker]:
    """The open points, but for the inspector's while the verdict that closes them is awaited."""
    awaited = step.outcome is not Outcome.CONFORMS
    for blocker in _open_points(step):
        if not (awaited and blocker.party is Party.INSPECTOR):
            yield blocker


def _out_of_calibration(step: StepFacts) -> Iterator[Blocker]:
    for use in step.instruments:
        if not use.in_calibration:
            until = f"due {use.covered_until}" if use.covered_until else "no calibration on record"
            statement = (
                f"{_name(step)}: instrument {use.identifier} was out of calibration"
                f" on {use.used_on} ({until})."
            )
            yield _blocker("calibration", statement, step.position, "instruments", Party.CONTRACTOR)


def _out_of_shelf_life(step: StepFacts) -> Iterator[Blocker]:
    for use in step.batches:
        if use.expiry is not None and use.used_on > use.expiry:
            statement = (
                f"{_name(step)}: batch {use.number} was used on {use.used_on},"
                f" after its expiry on {use.expiry}."
            )
            yield _blocker("shelf_life", statement, step.position, "step", Party.INSPECTOR)


def _name(step: StepFacts) -> str:
    return f"Step {step.position}, {step.title}"


def _blocker(rule: str, statement: str, step: int | None, place: str, party: Party) -> Blocker:
    return Blocker(rule=rule, statement=statement, step=step, place=place, party=party)
