"""Random deeds of everybody on one report: what no sequence of them may bring about."""

from dataclasses import dataclass
from datetime import date, timedelta

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from qc.engine.lifecycle import Refused
from qc.engine.nonconformance import (
    Concession,
    Disposition,
    NamedReadings,
    ReportDeed,
    ReportFacts,
    ReportState,
    decide_on_report,
    is_undone_by_failure,
    ways_on,
)
from qc.engine.plan import Party

TODAY = date(2026, 5, 12)
WORK = (Disposition.REWORK, Disposition.REPAIR, Disposition.REJECT)
ANYBODY = st.integers(min_value=1, max_value=2)
"""Two people; each may turn up for any party, so that the table alone keeps them apart."""


@dataclass(frozen=True)
class Visit:
    """An inspection of the step: its series, what it came to, whether it corrects another."""

    series: int
    conforms: bool
    corrects: bool


class LifeOfAReport(RuleBasedStateMachine):
    """One report about a step whose first series failed."""

    def __init__(self) -> None:
        super().__init__()
        self.visits = [Visit(1, False, False)]
        self.state = ReportState.OPEN
        self.disposition: Disposition | None = None
        self.proposed_by = self.implemented_by = 0
        self.granted: Concession | None = None
        self.conceded: Visit | None = None
        self.closed_on: Visit | None = None

    @rule(conforms=st.booleans())
    def measure(self, conforms: bool) -> None:
        """Readings are recorded whatever the state of the report: they are facts."""
        last = self.visits[-1]
        series = last.series if last.conforms else last.series + 1
        self._record(Visit(series, conforms, False))

    @rule(conforms=st.booleans())
    def correct(self, conforms: bool) -> None:
        """The readings that stand were mistyped."""
        self._record(Visit(self.visits[-1].series, conforms, True))

    def _record(self, visit: Visit) -> None:
        self.visits.append(visit)
        if not visit.conforms and is_undone_by_failure(self.state, self.disposition):
            self._goes_to(ReportState.OPEN)

    @rule(
        deed=st.sampled_from(ReportDeed),
        party=st.sampled_from(Party),
        actor=ANYBODY,
        chosen=st.none() | st.sampled_from(Disposition),
        named=st.none() | st.integers(min_value=0, max_value=5),
        scope=st.sampled_from(["", "one spot"]),
        days=st.none() | st.integers(min_value=-1, max_value=1),
        text=st.sampled_from(["", "in words"]),
    )
    def deal(
        self,
        deed: ReportDeed,
        party: Party,
        actor: int,
        chosen: Disposition | None,
        named: int | None,
        scope: str,
        days: int | None,
        text: str,
    ) -> None:
        """Somebody does something, sensible or not."""
        visit = self.visits[-1 - named] if named is not None and named < len(self.visits) else None
        until = None if days is None else TODAY + timedelta(days=days)
        concession = Concession(scope=scope, until=until)
        try:
            row = decide_on_report(deed, party, self._facts(actor, chosen, visit, concession, text))
        except Refused as refused:
            assert refused.reasons
            return
        self._holds(deed, party, actor, chosen, visit, concession)
        self._happened(deed, actor, chosen, visit, concession)
        self._goes_to(row.after)

    @rule(
        data=st.data(),
        actor=ANYBODY,
        named=st.integers(min_value=0, max_value=1),
        scope=st.sampled_from(["one spot", ""]),
    )
    def go_on(self, data: st.DataObject, actor: int, named: int, scope: str) -> None:
        """Somebody of a party entitled does what comes next, mostly with what is asked for."""
        ways = ways_on(self.state, self.disposition)
        rows = [row for row in ways if row.deed is not ReportDeed.REOPEN] or ways
        row = data.draw(st.sampled_from(rows))
        proposes = row.deed is ReportDeed.PROPOSE
        of = data.draw(st.sampled_from(sorted(row.of))) if proposes else None
        party = data.draw(st.sampled_from(row.parties))
        self.deal(row.deed, party, actor, of, named, scope, 1, "in words")

    def _facts(
        self,
        actor: int,
        chosen: Disposition | None,
        visit: Visit | None,
        concession: Concession,
        text: str,
    ) -> ReportFacts:
        latest = self.visits[-1]
        readings = None
        if visit is not None:
            readings = NamedReadings(
                on_step=True,
                later=visit.series > 1,
                standing=visit is latest,
                conforms=visit.conforms,
                corrects=visit.series == 1 and visit.corrects,
            )
        return ReportFacts(
            state=self.state,
            disposition=self.disposition,
            proposed_by=self.proposed_by,
            implemented_by=self.implemented_by,
            granted=self.granted,
            covers_standing=latest.conforms or self.conceded in (None, latest),
            actor=actor,
            day=TODAY,
            text=text,
            chosen=chosen,
            concession=concession,
            readings=readings,
        )

    def _holds(
        self,
        deed: ReportDeed,
        party: Party,
        actor: int,
        chosen: Disposition | None,
        visit: Visit | None,
        concession: Concession,
    ) -> None:
        """What must be so when a deed succeeds, said without the table."""
        if deed in (ReportDeed.APPROVE, ReportDeed.DECLINE):
            assert actor != self.proposed_by
            assert party is not Party.CONTRACTOR
            assert party is Party.CLIENT or self.disposition is Disposition.REWORK
        if deed is ReportDeed.APPROVE and self.disposition in (
            Disposition.REPAIR,
            Disposition.USE_AS_IS,
        ):
            assert concession.scope and concession.until and concession.until >= TODAY
        if deed is ReportDeed.CLOSE and chosen is Disposition.CORRECTION:
            assert visit is self.visits[-1] and visit.corrects and visit.conforms
        elif deed in (ReportDeed.REINSPECT, ReportDeed.CLOSE) and self.disposition in WORK:
            assert actor != self.implemented_by
            assert visit is self.visits[-1] and visit.conforms and visit.series > 1
        elif deed is ReportDeed.CLOSE:
            assert self.granted is not None

    def _happened(
        self,
        deed: ReportDeed,
        actor: int,
        chosen: Disposition | None,
        visit: Visit | None,
        concession: Concession,
    ) -> None:
        if deed is ReportDeed.PROPOSE:
            self.disposition, self.proposed_by = chosen, actor
        if deed is ReportDeed.APPROVE and self.disposition is Disposition.USE_AS_IS:
            self.granted, self.conceded = concession, self.visits[-1]
        if deed is ReportDeed.IMPLEMENT:
            self.implemented_by = actor
        if deed is ReportDeed.CLOSE:
            self.closed_on = visit
            if chosen is Disposition.CORRECTION:
                self.disposition = chosen

    def _goes_to(self, state: ReportState) -> None:
        self.state = state
        if state in (ReportState.OPEN, ReportState.CONTAINED):
            self.disposition, self.granted, self.conceded = None, None, None

    @precondition(lambda self: self.state is ReportState.CLOSED)
    @invariant()
    def what_was_worked_on_was_closed_on_new_readings(self) -> None:
        if self.disposition in WORK:
            assert self.closed_on is not None
            assert self.closed_on.conforms and self.closed_on.series > 1

    @invariant()
    def the_old_readings_are_still_there(self) -> None:
        assert self.visits[0] == Visit(1, False, False)

    @invariant()
    def a_disposition_is_in_hand_exactly_from_its_proposal_on(self) -> None:
        before = self.state in (ReportState.OPEN, ReportState.CONTAINED)
        assert (self.disposition is None) is before


TestLifeOfAReport = LifeOfAReport.TestCase
TestLifeOfAReport.settings = settings(max_examples=150, stateful_step_count=40, deadline=None)


def test_random_deeds_do_reach_the_end() -> None:
    """The machine above proves nothing if it never closes a report: a straight way does."""
    life = LifeOfAReport()
    life.deal(ReportDeed.CONTAIN, Party.CONTRACTOR, 1, None, None, "", None, "put aside")
    life.deal(
        ReportDeed.PROPOSE, Party.CONTRACTOR, 1, Disposition.REWORK, None, "", None, "dress it"
    )
    life.deal(ReportDeed.APPROVE, Party.INSPECTOR, 2, None, None, "", None, "")
    life.deal(ReportDeed.IMPLEMENT, Party.CONTRACTOR, 1, None, None, "", None, "dressed")
    life.measure(True)
    life.deal(ReportDeed.REINSPECT, Party.INSPECTOR, 2, None, 0, "", None, "")
    life.deal(ReportDeed.CLOSE, Party.INSPECTOR, 2, None, 0, "", None, "")

    assert life.state is ReportState.CLOSED
