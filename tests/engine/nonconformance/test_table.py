"""The table of a report's life, walked whole: every state, deed, disposition and party."""

import itertools
from dataclasses import replace
from datetime import date

import pytest

from qc.engine.lifecycle import Refused
from qc.engine.nonconformance import (
    REPORT_TRANSITIONS,
    Concession,
    Disposition,
    NamedReadings,
    ReportDeed,
    ReportFacts,
    ReportState,
    decide_on_report,
    deeds_open_to,
    due_next,
    is_undone_by_failure,
)
from qc.engine.plan import Party

N, K, C = Party.INSPECTOR, Party.CONTRACTOR, Party.CLIENT
TABLE = """
open                 contain    *                          NK   contained
contained            propose    rework,repair,use_as_is,reject  K  disposition_proposed
disposition_proposed approve    rework                     NC   approved
disposition_proposed approve    repair,use_as_is,reject    C    approved
disposition_proposed decline    rework                     NC   contained
disposition_proposed decline    repair,use_as_is,reject    C    contained
approved             implement  rework,repair,reject       K    implemented
approved             close      use_as_is                  NC   closed
implemented          reinspect  rework,repair,reject       N    reinspected
reinspected          close      rework,repair,reject       N    closed
open                 close      correction                 N    closed
contained            close      correction                 N    closed
disposition_proposed close      correction                 N    closed
approved             close      correction                 N    closed
implemented          close      correction                 N    closed
approved             reopen     *                          NKC  open
implemented          reopen     *                          NKC  open
reinspected          reopen     *                          NKC  open
closed               reopen     *                          NKC  open
"""
"""Written by hand after ISO 9001:2015, 8.7: state, deed, disposition (* any), whose (N inspector,
K contractor, C client), and where it leads."""
PARTIES = {"N": N, "K": K, "C": C}
CHOICES = (None, *Disposition)
ALLOWED = {
    (ReportState(before), ReportDeed(deed), choice, PARTIES[letter]): ReportState(after)
    for before, deed, of, letters, after in (line.split() for line in TABLE.strip().splitlines())
    for choice in (CHOICES if of == "*" else map(Disposition, of.split(",")))
    for letter in letters
}

TODAY = date(2026, 5, 12)
GOOD = NamedReadings(on_step=True, later=True, standing=True, conforms=True, corrects=True)
SAID = ReportFacts(
    state=ReportState.OPEN,
    proposed_by=1,
    implemented_by=2,
    granted=Concession(scope="one spot", until=TODAY),
    actor=3,
    day=TODAY,
    text="in words",
    concession=Concession(scope="one spot", until=TODAY),
    readings=GOOD,
)
"""Facts against which no guard has anything to say."""


def facts(state: ReportState, deed: ReportDeed, disposition: Disposition | None) -> ReportFacts:
    """A proposal and a correction are named with the deed; other dispositions are in hand."""
    chosen = deed is ReportDeed.PROPOSE or disposition is Disposition.CORRECTION
    if chosen:
        return replace(SAID, state=state, chosen=disposition)
    return replace(SAID, state=state, disposition=disposition)


@pytest.mark.parametrize(("state", "deed"), list(itertools.product(ReportState, ReportDeed)))
@pytest.mark.parametrize("party", list(Party))
def test_a_party_may_do_exactly_what_the_table_allows(
    state: ReportState, deed: ReportDeed, party: Party
) -> None:
    for disposition in CHOICES:
        expected = ALLOWED.get((state, deed, disposition, party))
        said = facts(state, deed, disposition)
        if expected is None:
            with pytest.raises(Refused):
                decide_on_report(deed, party, said)
        else:
            assert decide_on_report(deed, party, said).after is expected
        if deed is not ReportDeed.PROPOSE:
            is_open = deed in deeds_open_to(state, disposition, party)
            assert is_open is (expected is not None)


def test_only_the_contractor_has_the_proposal() -> None:
    for party in Party:
        open_to = deeds_open_to(ReportState.CONTAINED, None, party)
        assert (ReportDeed.PROPOSE in open_to) is (party is K)


def test_no_two_rows_of_the_table_start_the_same_way() -> None:
    starts = [
        (row.before, row.deed, disposition)
        for row in REPORT_TRANSITIONS
        for disposition in row.of or CHOICES
    ]

    assert len(starts) == len(set(starts))


def test_a_disposition_named_with_another_deed_changes_nothing() -> None:
    """The client's concession can't be had from the inspector by calling it rework."""
    conceded = replace(
        SAID,
        state=ReportState.PROPOSED,
        disposition=Disposition.USE_AS_IS,
        chosen=Disposition.REWORK,
    )

    with pytest.raises(Refused, match="The inspector cannot approve this report; the client can"):
        decide_on_report(ReportDeed.APPROVE, N, conceded)


WAY = {
    (ReportState.OPEN, None): (ReportDeed.CONTAIN, K),
    (ReportState.CONTAINED, None): (ReportDeed.PROPOSE, K),
    (ReportState.PROPOSED, Disposition.REWORK): (ReportDeed.APPROVE, N),
    (ReportState.PROPOSED, Disposition.REPAIR): (ReportDeed.APPROVE, C),
    (ReportState.PROPOSED, Disposition.USE_AS_IS): (ReportDeed.APPROVE, C),
    (ReportState.PROPOSED, Disposition.REJECT): (ReportDeed.APPROVE, C),
    (ReportState.APPROVED, Disposition.REWORK): (ReportDeed.IMPLEMENT, K),
    (ReportState.APPROVED, Disposition.REPAIR): (ReportDeed.IMPLEMENT, K),
    (ReportState.APPROVED, Disposition.REJECT): (ReportDeed.IMPLEMENT, K),
    (ReportState.APPROVED, Disposition.USE_AS_IS): (ReportDeed.CLOSE, N),
    (ReportState.IMPLEMENTED, Disposition.REWORK): (ReportDeed.REINSPECT, N),
    (ReportState.REINSPECTED, Disposition.REWORK): (ReportDeed.CLOSE, N),
    (ReportState.OPEN, Disposition.CORRECTION): (ReportDeed.CLOSE, N),
    (ReportState.CONTAINED, Disposition.CORRECTION): (ReportDeed.CLOSE, N),
    (ReportState.PROPOSED, Disposition.CORRECTION): (ReportDeed.CLOSE, N),
    (ReportState.APPROVED, Disposition.CORRECTION): (ReportDeed.CLOSE, N),
    (ReportState.IMPLEMENTED, Disposition.CORRECTION): (ReportDeed.CLOSE, N),
}


@pytest.mark.parametrize("stand", WAY)
def test_the_report_says_what_is_next_and_whose_turn_it_is(
    stand: tuple[ReportState, Disposition | None],
) -> None:
    due = due_next(*stand)

    assert due is not None
    assert (due.deed, due.parties[0]) == WAY[stand]


def test_nothing_is_next_once_a_report_is_closed() -> None:
    assert all(due_next(ReportState.CLOSED, disposition) is None for disposition in CHOICES)


@pytest.mark.parametrize(("state", "disposition"), list(itertools.product(ReportState, CHOICES)))
def test_what_was_thought_to_be_dealt_with_is_undone_by_another_failure(
    state: ReportState, disposition: Disposition | None
) -> None:
    at_work = state in (ReportState.IMPLEMENTED, ReportState.REINSPECTED)
    conceded = state is ReportState.APPROVED and disposition is Disposition.USE_AS_IS

    assert is_undone_by_failure(state, disposition) is (at_work or conceded)


def test_every_state_has_a_way_to_the_end() -> None:
    """From each state, with each disposition that can be in hand, the report can be closed."""
    for row in REPORT_TRANSITIONS:
        for disposition in row.of or (None,):
            state, steps = row.after, 0
            in_hand = None if state in (ReportState.OPEN, ReportState.CONTAINED) else disposition
            while (due := due_next(state, in_hand)) is not None:
                in_hand = in_hand or (Disposition.REWORK if due.of else None)
                state, steps = due.after, steps + 1
                assert steps < 7
            assert state is ReportState.CLOSED
