"""What a report can be, what can be done about it, and what is asked before it is."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Origin(StrEnum):
    """What opened a report."""

    VERDICT = "verdict"
    HOLD = "hold"
    INSTRUMENT = "instrument"
    BATCH = "batch"
    WINDOW = "window"
    OBSERVATION = "observation"


class ReportState(StrEnum):
    """Where a report stands. One that is reopened is open again."""

    OPEN = "open"
    CONTAINED = "contained"
    PROPOSED = "disposition_proposed"
    APPROVED = "approved"
    IMPLEMENTED = "implemented"
    REINSPECTED = "reinspected"
    CLOSED = "closed"


class ReportDeed(StrEnum):
    """Everything a person can do about a report."""

    CONTAIN = "contain"
    PROPOSE = "propose"
    APPROVE = "approve"
    DECLINE = "decline"
    IMPLEMENT = "implement"
    REINSPECT = "reinspect"
    CLOSE = "close"
    REOPEN = "reopen"


class Disposition(StrEnum):
    """What is done about it. A correction is for what was written wrongly, not done wrongly."""

    REWORK = "rework"
    REPAIR = "repair"
    USE_AS_IS = "use_as_is"
    REJECT = "reject"
    CORRECTION = "correction"


@dataclass(frozen=True, kw_only=True)
class Concession:
    """What a client permits: its scope (what, where, for which use) and its last day."""

    scope: str
    until: date | None


@dataclass(frozen=True, kw_only=True)
class NamedReadings:
    """An inspection that a person names. `on_step`: of the report's step (of any, if it has none).

    `later`: of a later series than the verdict that did not conform (where none did: recorded
    since the report was opened). `corrects`: what stands in that same series is a correction.
    """

    on_step: bool
    later: bool
    standing: bool
    conforms: bool
    corrects: bool


@dataclass(frozen=True, kw_only=True)
class ReportFacts:
    """What the guards may ask of a report, and what is said with the deed.

    `disposition` is the one in hand, None before a proposal. `proposed_by` and `implemented_by`
    are ids, 0 for nobody. `covers_standing`: the step stands at no other verdict than the one for
    which use-as-is is sought or granted. `chosen` is the disposition named with the deed.
    """

    state: ReportState
    disposition: Disposition | None = None
    proposed_by: int = 0
    implemented_by: int = 0
    granted: Concession | None = None
    covers_standing: bool = True
    actor: int
    day: date
    text: str = ""
    chosen: Disposition | None = None
    concession: Concession | None = None
    readings: NamedReadings | None = None
