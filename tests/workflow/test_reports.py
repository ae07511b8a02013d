"""Reports through the acts: opened by verdicts and by people, dealt with, closed, reopened."""

from datetime import timedelta
from typing import Any

import pytest

from qc.engine.lifecycle import Act, Refused, Status, reasons_against
from qc.engine.nonconformance import Disposition, Origin, ReportDeed, ReportState
from qc.engine.plan import Party, open_items
from qc.records.models import Handling, Inspection, Nonconformance, Repair, Return
from qc.records.progress import progress_of
from qc.records.reports import reports_of
from qc.workflow import (
    Manner,
    Observation,
    correct_inspection,
    report_nonconformance,
)
from qc.workflow.facts import gather
from tests.factories import (
    AMBIENT,
    HARDNESS,
    NOON,
    THICKNESS,
    act_on,
    close,
    instrument,
    put_signature,
    record,
    repair_at,
    repair_on_site,
)
from tests.people import People
from tests.reports import LAST_DAY, C, K, N, agree_rework, concede, deal, propose, verify

THIN = [{"values": ["4 mm", "6 mm"]}]
THICK = [{"values": ["6 mm", "6 mm"]}]
LATER = NOON + timedelta(hours=1)


@pytest.fixture
def thin(people: People) -> Repair:
    """A repair on site whose filler is too thin at one spot."""
    repair = repair_on_site(people)
    record(people, repair, THICKNESS, THIN)
    return repair


def state(repair: Repair, number: int = 1) -> ReportState:
    return reports_of(repair)[number - 1].state


def blockers(repair: Repair, at: Any = NOON) -> list[tuple[str, int | None, Party]]:
    """The open reports among what stands open, as the gate lists them."""
    facts = gather(repair, progress_of(repair), at=at)
    found = open_items(facts.steps, facts.reports, facts.day)
    return [(b.rule, b.step, b.party) for b in found if b.place.startswith("report")]


def correct(people: People, repair: Repair, values: list[dict[str, Any]]) -> None:
    """The latest inspection of the thickness is corrected."""
    correct_inspection(
        repair_id=repair.pk,
        position=THICKNESS,
        inspection_id=Inspection.objects.filter(step__key="thickness").latest("id").pk,
        reason="mistyped",
        observation=Observation(
            readings=values,
            observed_at=NOON,
            instruments=[instrument(people, "depth_gauge").pk],
            rework="as before",
        ),
        **act_on(people, N),
    )


def test_a_failing_verdict_opens_a_report_about_it(people: People, thin: Repair) -> None:
    report = Nonconformance.objects.get()

    assert (report.number, report.origin, report.party) == (1, Origin.VERDICT, N)
    assert report.inspection == Inspection.objects.get()
    assert report.statement.startswith("Step 3, Filler thickness: Thickness")
    assert blockers(thin) == [("nonconformance", THICKNESS, K)]


@pytest.mark.parametrize(
    ("position", "readings"),
    [(THICKNESS, THICK), (HARDNESS, [{"values": ["78", "80"]}])],
    ids=["conforms", "incomplete"],
)
def test_no_other_verdict_opens_a_report(
    people: People, position: int, readings: list[dict[str, Any]]
) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS, THICK)
    close(people, repair, THICKNESS, Manner.RELEASED)
    record(people, repair, position, readings)

    assert not Nonconformance.objects.exists()


def test_a_series_that_fails_again_adds_nothing_to_an_open_report(
    people: People, thin: Repair
) -> None:
    record(people, thin, THICKNESS, THIN, rework="Tried again")

    assert Nonconformance.objects.count() == 1
    assert not Handling.objects.exists()


def test_a_series_that_fails_after_the_work_reopens_the_report(
    people: People, thin: Repair
) -> None:
    agree_rework(people, thin)
    record(people, thin, THICKNESS, THIN, rework="Built up")

    last = Handling.objects.latest("id")
    assert (state(thin), last.deed, last.party) == (ReportState.OPEN, "reopen", N)
    assert last.inspection == Inspection.objects.latest("id")
    assert Nonconformance.objects.count() == 1


def test_a_failure_after_the_end_opens_another_report(people: People, thin: Repair) -> None:
    agree_rework(people, thin)
    record(people, thin, THICKNESS, THICK, rework="Built up")
    verify(people, thin)
    correct(people, thin, THIN)

    assert [r.state for r in reports_of(thin)] == [ReportState.CLOSED, ReportState.OPEN]


def test_a_rework_closes_on_new_readings_and_keeps_the_old(people: People, thin: Repair) -> None:
    agree_rework(people, thin)
    with pytest.raises(Refused, match="does not conform"):
        deal(people, thin, ReportDeed.REINSPECT, N, inspection_id=Inspection.objects.get().pk)
    record(people, thin, THICKNESS, THICK, rework="Built up")
    verify(people, thin)

    assert state(thin) is ReportState.CLOSED
    assert blockers(thin) == []
    assert [i.outcome for i in Inspection.objects.all()] == ["does_not_conform", "conforms"]


def test_readings_that_were_corrected_away_verify_nothing(people: People, thin: Repair) -> None:
    agree_rework(people, thin)
    record(people, thin, THICKNESS, THICK, rework="Built up")
    first = Inspection.objects.latest("id")
    correct(people, thin, [{"values": ["5 mm", "6 mm"]}])

    with pytest.raises(Refused, match="no longer stands"):
        deal(people, thin, ReportDeed.REINSPECT, N, inspection_id=first.pk)


def test_readings_of_another_step_verify_nothing(people: People, thin: Repair) -> None:
    agree_rework(people, thin)
    record(people, thin, AMBIENT)

    with pytest.raises(Refused, match="of another step"):
        deal(
            people,
            thin,
            ReportDeed.REINSPECT,
            N,
            inspection_id=Inspection.objects.latest("id").pk,
        )


def test_a_correction_closes_what_was_only_written_wrongly(people: People, thin: Repair) -> None:
    closing: dict[str, Any] = {"disposition": Disposition.CORRECTION}
    failed = Inspection.objects.get().pk
    with pytest.raises(Refused, match="does not conform"):
        deal(people, thin, ReportDeed.CLOSE, N, inspection_id=failed, **closing)
    correct(people, thin, THICK)
    assert blockers(thin) == [("nonconformance", THICKNESS, N)]
    latest = Inspection.objects.latest("id").pk
    with pytest.raises(Refused, match="The contractor cannot close"):
        deal(people, thin, ReportDeed.CLOSE, K, inspection_id=latest, **closing)
    deal(people, thin, ReportDeed.CLOSE, N, inspection_id=latest, **closing)

    assert state(thin) is ReportState.CLOSED
    assert reports_of(thin)[0].disposition is Disposition.CORRECTION
    assert reports_of(thin)[0].concession is None


def test_new_readings_after_rework_are_no_correction(people: People, thin: Repair) -> None:
    record(people, thin, THICKNESS, THICK, rework="Built up on the quiet")

    with pytest.raises(Refused, match="corrects none of the readings"):
        deal(
            people,
            thin,
            ReportDeed.CLOSE,
            N,
            inspection_id=Inspection.objects.latest("id").pk,
            disposition=Disposition.CORRECTION,
        )


def test_a_concession_accepts_exactly_the_verdict_that_stands(people: People, thin: Repair) -> None:
    concede(people, thin)
    step = progress_of(thin)[THICKNESS - 1]
    assert (step.conceded_until, step.is_accepted) == (LAST_DAY, True)
    deal(people, thin, ReportDeed.CLOSE, C)
    assert progress_of(thin)[THICKNESS - 1].conceded_until == LAST_DAY

    close(people, thin, THICKNESS, Manner.RELEASED)
    assert blockers(thin) == []


def test_a_concession_that_expired_is_in_the_way(people: People, thin: Repair) -> None:
    concede(people, thin, until=NOON.date())
    deal(people, thin, ReportDeed.CLOSE, N)

    assert blockers(thin) == []
    assert blockers(thin, NOON + timedelta(days=1)) == [("concession", THICKNESS, C)]


def test_new_readings_end_a_concession(people: People, thin: Repair) -> None:
    concede(people, thin)
    record(people, thin, THICKNESS, THIN, rework="Tried again")

    assert progress_of(thin)[THICKNESS - 1].conceded_until is None
    assert state(thin) is ReportState.OPEN


def test_a_correction_that_still_fails_ends_a_concession(people: People, thin: Repair) -> None:
    concede(people, thin)
    deal(people, thin, ReportDeed.CLOSE, N)
    correct(people, thin, THIN)

    assert progress_of(thin)[THICKNESS - 1].conceded_until is None
    assert [r.state for r in reports_of(thin)] == [ReportState.CLOSED, ReportState.OPEN]


def test_the_inspector_cannot_grant_what_is_the_clients(people: People, thin: Repair) -> None:
    propose(people, thin, Disposition.USE_AS_IS)

    for disposition in (None, Disposition.REWORK):
        with pytest.raises(Refused, match="The inspector cannot approve"):
            deal(people, thin, ReportDeed.APPROVE, N, disposition=disposition)


def test_a_report_that_is_declined_can_be_proposed_anew(people: People, thin: Repair) -> None:
    propose(people, thin, Disposition.USE_AS_IS)
    deal(people, thin, ReportDeed.DECLINE, C)
    assert (state(thin), reports_of(thin)[0].disposition) == (ReportState.CONTAINED, None)
    deal(people, thin, ReportDeed.PROPOSE, K, disposition=Disposition.REWORK)

    assert reports_of(thin)[0].disposition is Disposition.REWORK


def test_an_old_concession_does_not_outlive_the_reopening(people: People, thin: Repair) -> None:
    concede(people, thin)
    deal(people, thin, ReportDeed.CLOSE, N)
    deal(people, thin, ReportDeed.REOPEN, C)
    propose(people, thin, Disposition.REWORK)
    deal(people, thin, ReportDeed.APPROVE, N)

    assert reports_of(thin)[0].concession is None
    assert progress_of(thin)[THICKNESS - 1].conceded_until is None


def test_a_report_that_is_not_there_is_refused(people: People, thin: Repair) -> None:
    with pytest.raises(Refused, match="has no nonconformance report 2"):
        deal(people, thin, ReportDeed.CONTAIN, K, number=2)


def test_nothing_is_signed_past_an_open_report(people: People) -> None:
    repair = repair_at(people, Status.ON_SITE)
    report(people, repair, K)
    facts = gather(repair, progress_of(repair), at=NOON)

    reasons = reasons_against(Status.ON_SITE, Act.SIGN_INSPECTION, N, facts)
    assert [r.statement for r in reasons if r.rule == "nonconformance"] == [
        "Nonconformance report 1 is not closed: open."
    ]


def report(people: People, repair: Repair, party: Party, **said: Any) -> None:
    report_nonconformance(
        repair_id=repair.pk, **{"statement": "Dent beside it"} | said, **act_on(people, party)
    )


@pytest.mark.parametrize("status", [Status.INSPECTED, Status.WITH_CLIENT, Status.APPROVED])
@pytest.mark.parametrize("party", list(Party))
def test_a_report_while_it_is_signed_voids_the_signatures(
    people: People, status: Status, party: Party
) -> None:
    repair = repair_at(people, status)
    report(people, repair, party)
    repair.refresh_from_db()

    assert (repair.stands_at, repair.signing_round) == (Status.ON_SITE, 2)
    returned = Return.objects.get()
    assert (returned.party, returned.act) == (party, Act.REPORT_NONCONFORMANCE)
    assert returned.reason == "Nonconformance report 1 was opened."


def test_a_failing_correction_while_it_is_signed_takes_the_record_back(people: People) -> None:
    repair = repair_at(people, Status.APPROVED)
    correct(people, repair, THIN)
    repair.refresh_from_db()

    assert (repair.stands_at, state(repair)) == (Status.ON_SITE, ReportState.OPEN)
    with pytest.raises(Refused, match="report 1 is not closed"):
        put_signature(people, repair, N)


@pytest.mark.parametrize("origin", [Origin.VERDICT, Origin.INSTRUMENT, Origin.BATCH])
def test_nobody_reports_in_the_name_of_what_opens_by_itself(people: People, origin: Origin) -> None:
    with pytest.raises(Refused, match="opens by itself"):
        report(people, repair_on_site(people), N, origin=origin, position=AMBIENT)


@pytest.mark.parametrize(
    ("said", "problem"),
    [
        ({"statement": " "}, "Say what does not conform"),
        ({"statement": "x" * 1001}, "1001 characters are more than 1000"),
        ({"position": 99}, "no step 99"),
        ({"origin": Origin.HOLD}, "Name the step"),
        ({"origin": Origin.HOLD, "position": AMBIENT}, "has no open hold point"),
    ],
)
def test_a_senseless_report_is_refused(people: People, said: dict[str, Any], problem: str) -> None:
    with pytest.raises(Refused, match=problem):
        report(people, repair_on_site(people), N, **said)

    assert not Nonconformance.objects.exists()


def test_work_past_a_hold_is_recorded_once_it_is_reported(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS, THICK)
    with pytest.raises(Refused, match="hold point of the client is open"):
        record(people, repair, HARDNESS)
    report(people, repair, K, origin=Origin.HOLD, position=THICKNESS)
    record(people, repair, HARDNESS, at=LATER)

    facts = gather(repair, progress_of(repair), at=LATER)
    rules = {b.rule for b in open_items(facts.steps, facts.reports, facts.day)}
    assert {"hold", "nonconformance"} <= rules
    with pytest.raises(Refused, match="reported already"):
        report(people, repair, N, origin=Origin.HOLD, position=THICKNESS)


def test_a_hold_stops_again_once_the_report_is_closed(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS, THICK)
    report(people, repair, K, origin=Origin.HOLD, position=THICKNESS)
    concede(people, repair)
    deal(people, repair, ReportDeed.CLOSE, N)

    with pytest.raises(Refused, match="hold point of the client is open"):
        record(people, repair, HARDNESS, at=LATER)


def test_a_report_of_what_was_seen_is_verified_by_readings_taken_since(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, THICKNESS, THICK)
    report(people, repair, C, position=THICKNESS)
    agree_rework(people, repair)
    before = Inspection.objects.get().pk
    with pytest.raises(Refused, match="none of a later series"):
        deal(people, repair, ReportDeed.REINSPECT, N, inspection_id=before)
    record(people, repair, THICKNESS, THICK, at=LATER)
    verify(people, repair)

    assert state(repair) is ReportState.CLOSED


def test_reports_take_the_same_number_of_queries_however_many(
    people: People, django_assert_num_queries: Any
) -> None:
    repair = repair_on_site(people)
    report(people, repair, K)
    with django_assert_num_queries(2):
        reports_of(repair)
    for party in Party:
        report(people, repair, party, position=AMBIENT)
    concede(people, repair)
    with django_assert_num_queries(2):
        assert len(reports_of(repair)) == 4
