"""The table of transitions, and what follows from it."""

from dataclasses import dataclass

from qc.engine.lifecycle import Refused
from qc.engine.nonconformance.guards import (
    Guard,
    concession_in_force,
    concession_named,
    corrected_reading_conforms,
    done_by_another,
    in_words,
    new_readings_conform,
    proposed_by_another,
    report_blocker,
    same_verdict_stands,
)
from qc.engine.nonconformance.states import Disposition, ReportDeed, ReportFacts, ReportState
from qc.engine.plan import Blocker, Party


@dataclass(frozen=True)
class ReportTransition:
    """From a state a deed leads to a state, unless a guard objects.

    The record waits for the first of `parties`. `of` limits the row to some dispositions; empty
    for all, and for none yet.
    """

    before: ReportState
    deed: ReportDeed
    after: ReportState
    parties: tuple[Party, ...]
    of: frozenset[Disposition] = frozenset()
    unless: tuple[Guard, ...] = ()

    def is_for(self, disposition: Disposition | None) -> bool:
        """True where the row concerns a report with this disposition in hand."""
        return not self.of or disposition in self.of


_S, _D, _Row = ReportState, ReportDeed, ReportTransition
_INSPECTOR, _CONTRACTOR, _CLIENT = (Party.INSPECTOR,), (Party.CONTRACTOR,), (Party.CLIENT,)
_ANYBODY = tuple(Party)
_REWORK = frozenset({Disposition.REWORK})
_REPAIR = frozenset({Disposition.REPAIR})
_USE_AS_IS = frozenset({Disposition.USE_AS_IS})
_REJECT = frozenset({Disposition.REJECT})
_CORRECTION = frozenset({Disposition.CORRECTION})
_WORK = _REWORK | _REPAIR | _REJECT
_JUDGED = (done_by_another, new_readings_conform)
_CONCEDED = (proposed_by_another, concession_named)
_IN_FORCE = (proposed_by_another, concession_in_force, same_verdict_stands)
_CORRECTED = (in_words, corrected_reading_conforms)
_BEFORE_NEW_READINGS = (_S.OPEN, _S.CONTAINED, _S.PROPOSED, _S.APPROVED, _S.IMPLEMENTED)

REPORT_TRANSITIONS = (
    _Row(_S.OPEN, _D.CONTAIN, _S.CONTAINED, _CONTRACTOR + _INSPECTOR, unless=(in_words,)),
    _Row(_S.CONTAINED, _D.PROPOSE, _S.PROPOSED, _CONTRACTOR, _WORK | _USE_AS_IS, (in_words,)),
    # Who is entitled to decide depends on what is proposed.
    *(
        _Row(_S.PROPOSED, _D.APPROVE, _S.APPROVED, parties, of, guards)
        for parties, of, guards in (
            (_INSPECTOR + _CLIENT, _REWORK, (proposed_by_another,)),
            (_CLIENT, _REJECT, (proposed_by_another,)),
            (_CLIENT, _REPAIR, _CONCEDED),
            (_CLIENT, _USE_AS_IS, (*_CONCEDED, same_verdict_stands)),
        )
    ),
    *(
        _Row(_S.PROPOSED, _D.DECLINE, _S.CONTAINED, parties, of, (in_words, proposed_by_another))
        for parties, of in (
            (_INSPECTOR + _CLIENT, _REWORK),
            (_CLIENT, _REPAIR | _USE_AS_IS | _REJECT),
        )
    ),
    # Work is done, and verified by new readings.
    _Row(_S.APPROVED, _D.IMPLEMENT, _S.IMPLEMENTED, _CONTRACTOR, _WORK, (in_words,)),
    _Row(_S.IMPLEMENTED, _D.REINSPECT, _S.REINSPECTED, _INSPECTOR, _WORK, _JUDGED),
    _Row(_S.REINSPECTED, _D.CLOSE, _S.CLOSED, _INSPECTOR, _WORK, _JUDGED),
    # Nothing is done to what is used as it is.
    _Row(_S.APPROVED, _D.CLOSE, _S.CLOSED, _INSPECTOR + _CLIENT, _USE_AS_IS, _IN_FORCE),
    # What was only written wrongly needs no work: the corrected reading closes the report.
    *(
        _Row(state, _D.CLOSE, _S.CLOSED, _INSPECTOR, _CORRECTION, _CORRECTED)
        for state in _BEFORE_NEW_READINGS
    ),
    *(
        _Row(state, _D.REOPEN, _S.OPEN, _ANYBODY, unless=(in_words,))
        for state in (_S.APPROVED, _S.IMPLEMENTED, _S.REINSPECTED, _S.CLOSED)
    ),
)


def is_undone_by_failure(state: ReportState, disposition: Disposition | None) -> bool:
    """Whether readings that fail again open the report again.

    They show that the work was not enough, or that another verdict than the conceded one stands.
    """
    if state is ReportState.APPROVED:
        return disposition is Disposition.USE_AS_IS
    return state in (ReportState.IMPLEMENTED, ReportState.REINSPECTED)


def decide_on_report(deed: ReportDeed, party: Party, facts: ReportFacts) -> ReportTransition:
    """The transition that `deed` makes, or Refused with every reason at once."""
    named = _disposition_meant(deed, facts)
    rows = [r for r in REPORT_TRANSITIONS if r.before is facts.state and r.deed is deed]
    fitting = [row for row in rows if row.is_for(named)]
    if not fitting:
        raise Refused(_wrong_state(deed, facts.state, named))
    row = fitting[0]
    if party not in row.parties:
        entitled = " or ".join(row.parties)
        statement = f"The {party} cannot {deed} this report; the {entitled} can."
        raise Refused(report_blocker("party", statement, row.parties[0]))
    reasons = tuple(reason for guard in row.unless for reason in guard(facts))
    if reasons:
        raise Refused(*reasons)
    return row


def _disposition_meant(deed: ReportDeed, facts: ReportFacts) -> Disposition | None:
    """A disposition is chosen by proposing it; only a correction may be named at the end."""
    is_corrected = deed is ReportDeed.CLOSE and facts.chosen is Disposition.CORRECTION
    return facts.chosen if deed is ReportDeed.PROPOSE or is_corrected else facts.disposition


def ways_on(state: ReportState, disposition: Disposition | None) -> tuple[ReportTransition, ...]:
    """The rows that start at `state` with `disposition` in hand.

    At the state in which a disposition is chosen, the rows of all that can be.
    """
    return tuple(
        row
        for row in REPORT_TRANSITIONS
        if row.before is state and (row.is_for(disposition) or row.deed is ReportDeed.PROPOSE)
    )


def deeds_open_to(
    state: ReportState, disposition: Disposition | None, party: Party
) -> frozenset[ReportDeed]:
    """The deeds that `party` has, whether or not a guard objects now."""
    return frozenset(row.deed for row in ways_on(state, disposition) if party in row.parties)


def due_next(state: ReportState, disposition: Disposition | None) -> ReportTransition | None:
    """What is to be done next to come to an end; None once the report is closed.

    Of several rows the one that names the disposition in hand.
    """
    onward = [
        row
        for row in ways_on(state, disposition)
        if row.deed not in (ReportDeed.DECLINE, ReportDeed.REOPEN)
    ]
    return min(onward, key=lambda row: disposition not in row.of, default=None)


def _wrong_state(deed: ReportDeed, state: ReportState, disposition: Disposition | None) -> Blocker:
    of = f" ({_words(disposition)})" if disposition else ""
    statement = f"The report{of} is {_words(state)}: you cannot {deed} it now."
    return report_blocker("state", statement)


def _words(code: str) -> str:
    return code.replace("_", " ")
