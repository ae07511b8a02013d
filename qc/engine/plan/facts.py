"""What is known of a repair's steps when somebody asks what stands open."""

from dataclasses import dataclass
from datetime import date, datetime

from qc.engine.plan.parties import Intervention, Party
from qc.engine.rules import Outcome


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
    """An intervention point of one party at one step, open or closed.

    `work_goes_on_from` is the moment from which later work need not wait for it any longer,
    whether or not the party came; None where no moment frees the work.
    """

    party: Party
    intervention: Intervention
    closed: bool
    stops_work: bool = False
    work_goes_on_from: datetime | None = None

    def stops_at(self, at: datetime | None) -> bool:
        """True while later work may not be recorded at `at`."""
        if self.closed or not (self.stops_work or self.intervention is Intervention.HOLD):
            return False
        freed = self.work_goes_on_from
        return freed is None or at is None or at < freed


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
class Doubt:
    """Why what was recorded on a step can't be relied on, though its verdict conforms.

    A broken time window, a step that rests on one that no longer conforms, a suspect instrument,
    a recalled batch, a person without qualification. `rule`, `place` and `party` as in a Blocker.
    `conceded_until` is the last day of a concession that covers it, None without one.
    """

    rule: str
    statement: str
    place: str
    party: Party
    conceded_until: date | None = None

    def stands_on(self, day: date | None) -> bool:
        """True unless a concession covers it on this day at the site."""
        return self.conceded_until is None or day is None or day > self.conceded_until


@dataclass(frozen=True, kw_only=True)
class OpenReport:
    """A nonconformance report that is not closed: its number, state and who must act next."""

    number: int
    state: str
    step: int | None
    party: Party


@dataclass(frozen=True, kw_only=True)
class StepFacts:
    """What is known of one step.

    `outcome` is that of its latest verdict, None before any. `conceded_until` is the last day of a
    concession granted for exactly that verdict, None without one.
    """

    position: int
    title: str
    outcome: Outcome | None
    points: tuple[Point, ...] = ()
    evidence_missing: tuple[str, ...] = ()
    instruments: tuple[InstrumentUse, ...] = ()
    batches: tuple[BatchUse, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    conceded_until: date | None = None

    @property
    def is_accepted(self) -> bool:
        """True where the step's verdict conforms, or a concession was granted for it."""
        return self.outcome is Outcome.CONFORMS or self.conceded_until is not None

    @property
    def is_held(self) -> bool:
        """True while a hold point of this step is open."""
        return any(p.intervention is Intervention.HOLD and not p.closed for p in self.points)
