"""Whatever anybody does in whatever order: no certificate past an open item, no act out of turn."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    rule,
    run_state_machine_as_test,
)

from qc.accounts.access import NotAMember
from qc.accounts.models import User
from qc.engine.lifecycle import Refused, Status
from qc.engine.nonconformance import Disposition, Origin, ReportDeed
from qc.engine.plan import Party, open_items
from qc.ledger.canonical import digest
from qc.ledger.chain import Entry, repair_chain
from qc.ledger.rows import Scope
from qc.records.check_code import new_check_code
from qc.records.models import Certificate, Inspection, Nonconformance, Notice, Repair, Signature
from qc.records.progress import progress_of
from qc.records.templates import StepTemplate
from qc.workflow import (
    Dealing,
    Manner,
    Observation,
    accept_notice,
    agree_plan,
    close_point,
    comment_plan,
    correct_inspection,
    give_notice,
    handle_nonconformance,
    record_inspection,
    release_certificate,
    report_nonconformance,
    return_repair,
    revise_plan,
    sign,
)
from qc.workflow.document import record_digest, record_document
from qc.workflow.facts import gather
from qc.workflow.verification import verify
from tests.factories import NOON, planned_repair
from tests.people import PASSWORD, People

STEPS = (
    StepTemplate(
        key="thickness",
        title="Filler thickness",
        activity="Measure the filler",
        characteristic="thickness",
        sampling="three stations",
        criteria={"rule": "minimum", "min": "5 mm"},
        sources={"rule": "common practice", "min": "common practice"},
        points={"client": "hold"},
    ),
    StepTemplate(
        key="hardness",
        title="Hardness",
        activity="Read the hardness",
        characteristic="hardness",
        sampling="three readings",
        criteria={"scale": "Shore D", "min": "75"},
        sources={"scale": "common practice", "min": "common practice"},
        points={"client": "witness", "inspector": "surveillance"},
    ),
)
GOOD: dict[int, list[dict[str, Any]]] = {
    1: [{"values": ["5.6 mm", "6.1 mm", "5.2 mm"]}],
    2: [{"values": ["78", "80", "79", "81", "76"]}],
}
BAD: dict[int, list[dict[str, Any]]] = {
    1: [{"values": ["5.6 mm", "4.1 mm", "5.2 mm"]}],
    2: [{"values": ["68", "70", "69", "71", "66"]}],
}
N, K, C = Party.INSPECTOR, Party.CONTRACTOR, Party.CLIENT
MAY: dict[str, frozenset[Party]] = {
    "revise_plan": frozenset({K}),
    "comment_plan": frozenset({N, K, C}),
    "agree_plan": frozenset({C}),
    "record_inspection": frozenset({N}),
    "correct_inspection": frozenset({N}),
    "give_notice": frozenset({N, K}),
    "accept_notice": frozenset({C}),
    "close_point": frozenset({C}),
    "report_nonconformance": frozenset({N, K, C}),
    "contain": frozenset({N, K}),
    "propose": frozenset({K}),
    "approve": frozenset({N, C}),
    "decline": frozenset({N, C}),
    "implement": frozenset({K}),
    "reinspect": frozenset({N}),
    "close": frozenset({N, C}),
    "reopen": frozenset({N, K, C}),
    "return_repair": frozenset({K, C}),
    "release_certificate": frozenset({C}),
}
"""Written by hand: who may ever succeed with what on this plan. Its points are the client's."""

positions = st.sampled_from((1, 2))
actors = st.sampled_from(("ines", "carl", "clara", "olu"))


class LifeOfARecord(RuleBasedStateMachine):
    """One repair, three people of three parties and a stranger, acting at random."""

    people: People

    def __init__(self) -> None:
        super().__init__()
        self.frame = transaction.atomic()
        self.frame.__enter__()
        self.repair = planned_repair(self.people, STEPS)
        self.now = NOON
        self.inspections: set[int] = set()
        self.released = False

    def teardown(self) -> None:
        transaction.set_rollback(True)
        self.frame.__exit__(None, None, None)

    def attempt(self, name: str, actor: str, do: Callable[..., Entry], **what: Any) -> bool:
        """Try an act: one entry if it succeeds, and only by those who may; nothing if not."""
        self.now += timedelta(minutes=7)
        person: User = getattr(self.people, actor)
        before = repair_chain(self.repair.pk).entries().count()
        try:
            with transaction.atomic():
                do(repair_id=self.repair.pk, actor=person, at=self.now, act_id=uuid4(), **what)
        except (Refused, NotAMember):
            assert repair_chain(self.repair.pk).entries().count() == before
            return False
        assert repair_chain(self.repair.pk).entries().count() == before + 1
        assert actor != "olu"
        party = {"ines": N, "carl": K, "clara": C}[actor]
        assert party in MAY.get(name, {party})
        self.repair.refresh_from_db()
        return True

    def observation(self, position: int, conforms: bool) -> Observation:
        readings = (GOOD if conforms else BAD)[position]
        return Observation(readings=readings, observed_at=self.now, rework="done over")

    @rule(actor=actors)
    def agrees_the_plan(self, actor: str) -> None:
        self.attempt("agree_plan", actor, agree_plan)

    @rule(actor=actors)
    def revises_the_plan(self, actor: str) -> None:
        self.attempt("revise_plan", actor, revise_plan, steps=STEPS, reason="as discussed")

    @rule(actor=actors)
    def comments(self, actor: str) -> None:
        latest = self.repair.plans.latest("revision").revision
        self.attempt(
            "comment_plan",
            actor,
            comment_plan,
            revision=latest,
            text="why so thick?",
            step_key="",
        )

    @rule(actor=actors, position=positions, conforms=st.booleans())
    def records(self, actor: str, position: int, conforms: bool) -> None:
        seen = self.observation(position, conforms)
        self.attempt(
            "record_inspection", actor, record_inspection, position=position, observation=seen
        )

    @rule(actor=actors, position=positions, conforms=st.booleans())
    def corrects(self, actor: str, position: int, conforms: bool) -> None:
        latest = progress_of(self.repair)[position - 1].latest
        if latest is None:
            return
        self.attempt(
            "correct_inspection",
            actor,
            correct_inspection,
            position=position,
            inspection_id=latest.pk,
            reason="mistyped",
            observation=self.observation(position, conforms),
        )

    @rule(actor=actors, position=positions)
    def gives_notice(self, actor: str, position: int) -> None:
        when = self.now + timedelta(hours=30)
        self.attempt(
            "give_notice",
            actor,
            give_notice,
            position=position,
            party=C,
            scheduled_at=when,
            note="",
        )

    @rule(actor=actors)
    def accepts_notice(self, actor: str) -> None:
        notice = Notice.objects.filter(repair=self.repair).last()
        if notice is not None:
            self.attempt("accept_notice", actor, accept_notice, notice_id=notice.pk, note="")

    @rule(actor=actors, position=positions, manner=st.sampled_from(Manner))
    def closes_a_point(self, actor: str, position: int, manner: Manner) -> None:
        self.attempt(
            "close_point", actor, close_point, position=position, manner=manner, note="seen"
        )

    @rule(actor=actors, position=positions, origin=st.sampled_from(("hold", "observation")))
    def reports(self, actor: str, position: int, origin: str) -> None:
        self.attempt(
            "report_nonconformance",
            actor,
            report_nonconformance,
            statement="not as agreed",
            origin=Origin(origin),
            position=position,
        )

    @rule(
        actor=actors,
        deed=st.sampled_from(ReportDeed),
        disposition=st.sampled_from(Disposition),
        which=st.integers(0, 5),
        days=st.integers(-1, 40),
    )
    def handles(
        self, actor: str, deed: ReportDeed, disposition: Disposition, which: int, days: int
    ) -> None:
        reports = list(Nonconformance.objects.filter(repair=self.repair))
        if not reports:
            return
        report = reports[which % len(reports)]
        step = report.step.position if report.step else 1
        latest = progress_of(self.repair)[step - 1].latest
        dealing = Dealing(
            deed=deed,
            text="so it is",
            disposition=disposition,
            concession_scope="this repair, until the next shutdown",
            concession_until=(self.now + timedelta(days=days)).date(),
            inspection_id=latest.pk if latest else None,
        )
        self.attempt(str(deed), actor, handle_nonconformance, number=report.number, dealing=dealing)

    @rule(actor=actors, party=st.sampled_from(Party))
    def signs(self, actor: str, party: Party) -> None:
        seen = record_digest(self.repair)
        signed = self.attempt("sign", actor, sign, party=party, password=PASSWORD, seen_digest=seen)
        if signed:
            assert self.people.of(party) == getattr(self.people, actor)

    @rule(actor=actors)
    def sends_back(self, actor: str) -> None:
        self.attempt("return_repair", actor, return_repair, reason="look again")

    @rule(actor=actors)
    def releases(self, actor: str) -> None:
        record = record_document(self.repair)
        facts = gather(self.repair, progress_of(self.repair), at=self.now + timedelta(minutes=7))
        blockers = open_items(facts.steps, facts.reports, facts.day)
        done = self.attempt(
            "release_certificate",
            actor,
            release_certificate,
            check_code=new_check_code(),
            number=f"QR-{self.repair.pk}",
            snapshot={"record": record},
            pdf=b"%PDF-1.7 certificate",
        )
        if done:
            self.released = True
            assert blockers == ()
            current = Signature.objects.filter(
                repair=self.repair, signing_round=self.repair.signing_round
            )
            assert {s.party for s in current} == set(Party)
            assert len({s.signed_by_id for s in current}) == len(Party)
            assert {s.record_digest for s in current} == {digest(record)}

    @rule(repeat=st.integers(1, 4))
    def somebody_does_the_next_thing(self, repeat: int) -> None:
        """Chance alone would hardly ever come to a certificate."""
        for _ in range(repeat):
            self._next_thing()

    def _next_thing(self) -> None:
        match self.repair.stands_at:
            case Status.PLANNED:
                self.agrees_the_plan("clara")
            case Status.ON_SITE:
                self._work_on()
            case Status.INSPECTED:
                self.signs("carl", K)
            case Status.WITH_CLIENT:
                self.signs("clara", C)
            case Status.APPROVED:
                self.releases("clara")
            case Status.RELEASED:
                pass

    def _work_on(self) -> None:
        for position, progress in enumerate(progress_of(self.repair), start=1):
            if progress.latest is None or progress.opens_new_series:
                return self.records("ines", position, True)
            if any(not point.closed for point in progress.points):
                manner = Manner.RELEASED if position == 1 else Manner.ATTENDED
                return self.closes_a_point("clara", position, manner)
        open_reports = gather(self.repair, progress_of(self.repair), at=self.now).reports
        if open_reports:
            return self._deal_with(open_reports[0].number, open_reports[0].state)
        return self.signs("ines", N)

    def _deal_with(self, number: int, state: str) -> None:
        """A report by the long way: rework."""
        deed, actor = {
            "open": (ReportDeed.CONTAIN, "carl"),
            "contained": (ReportDeed.PROPOSE, "carl"),
            "disposition_proposed": (ReportDeed.APPROVE, "clara"),
            "approved": (ReportDeed.IMPLEMENT, "carl"),
            "implemented": (ReportDeed.REINSPECT, "ines"),
            "reinspected": (ReportDeed.CLOSE, "ines"),
        }[state]
        numbers = [r.number for r in Nonconformance.objects.filter(repair=self.repair)]
        self.handles(actor, deed, Disposition.REWORK, numbers.index(number), 30)

    @invariant()
    def the_ledger_holds(self) -> None:
        assert verify(Scope(projects=frozenset())).findings == []

    @invariant()
    def nothing_recorded_is_lost(self) -> None:
        now = set(Inspection.objects.filter(repair=self.repair).values_list("pk", flat=True))
        assert self.inspections <= now
        self.inspections = now

    @invariant()
    def what_is_released_stays_released(self) -> None:
        issued = Certificate.objects.filter(repair=self.repair).count()
        assert issued == int(self.released)
        assert (self.repair.stands_at is Status.RELEASED) is self.released


@pytest.mark.django_db
def test_no_sequence_of_acts_breaks_the_record(people: People) -> None:
    class WithPeople(LifeOfARecord):
        pass

    WithPeople.people = people
    run_state_machine_as_test(
        WithPeople,
        settings=settings(
            max_examples=10,
            stateful_step_count=20,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )


@pytest.mark.django_db
def test_the_next_thing_done_again_and_again_comes_to_a_certificate(people: People) -> None:
    class WithPeople(LifeOfARecord):
        pass

    WithPeople.people = people
    life = WithPeople()
    try:
        for _ in range(12):
            life._next_thing()
            life.the_ledger_holds()
        assert life.released
        assert Repair.objects.get(pk=life.repair.pk).stands_at is Status.RELEASED
    finally:
        life.teardown()
