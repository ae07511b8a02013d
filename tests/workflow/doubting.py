"""What tests of doubts share: gauges that fail, reports conceded, and what stands in doubt."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

from qc.engine.nonconformance import Disposition, ReportDeed
from qc.engine.plan import Doubt, Party, open_items
from qc.ledger.chain import Entry
from qc.records.models import Instrument, Repair
from qc.records.progress import progress_of
from qc.workflow import (
    Dealing,
    check_instrument,
    handle_nonconformance,
    withdraw_calibration,
)
from qc.workflow.facts import gather
from tests.factories import NOON, THICKNESS, act_on, instrument, record
from tests.people import People

EVENING = NOON + timedelta(hours=6)
"""After use: when an instrument is checked."""

LATER = NOON + timedelta(days=1)


def gauge(people: People, identifier: str = "DG-1", **more: Any) -> Instrument:
    """A depth gauge in calibration."""
    return instrument(people, "depth_gauge", identifier=identifier, **more)


def checked(
    people: People,
    kept: Instrument,
    found: str,
    at: datetime = EVENING,
    occasion: str = "after",
    entered: datetime | None = None,
) -> Entry:
    """A check of a depth gauge on a 10 mm block; more than 0.05 mm off fails."""
    return check_instrument(
        project_id=people.project.pk,
        instrument_id=kept.pk,
        occasion=occasion,
        reference="block B-10",
        nominal="10 mm",
        found=found,
        tolerance="0.05 mm",
        checked_at=at,
        **act_on(people, Party.INSPECTOR, entered or at),
    )


def fail(people: People, kept: Instrument, at: datetime = EVENING, **more: Any) -> Entry:
    """A check that fails."""
    return checked(people, kept, "10.4 mm", at, **more)


def withdraw(people: People, kept: Instrument, bad_since: datetime) -> Entry:
    """Its calibration turns out to be bad."""
    return withdraw_calibration(
        project_id=people.project.pk,
        calibration_id=kept.calibrations.earliest("pk").pk,
        bad_since=bad_since,
        reason="The laboratory's block was worn",
        **act_on(people, Party.CONTRACTOR, LATER),
    )


def measured(people: People, repair: Repair, kept: Instrument, **more: Any) -> Entry:
    """The thickness, measured with a gauge."""
    return record(people, repair, THICKNESS, instruments=[kept.pk], **more)


def doubts(repair: Repair, position: int = THICKNESS, at: datetime = LATER) -> list[Doubt]:
    """The doubts about a step that stand at a moment."""
    facts = gather(repair, progress_of(repair), at=at)
    step = next(step for step in facts.steps if step.position == position)
    return [doubt for doubt in step.doubts if doubt.stands_on(facts.day)]


def open_rules(repair: Repair, at: datetime = LATER) -> list[str]:
    """The rules of what stands before the release."""
    facts = gather(repair, progress_of(repair), at=at)
    return [blocker.rule for blocker in open_items(facts.steps, facts.reports, facts.day)]


def concede(people: People, repair: Repair, number: int, until: date = date(2027, 5, 1)) -> None:
    """From the report to its end: the client permits what rests on the doubt as it is."""
    deal(people, repair, number, Party.INSPECTOR, Dealing(deed=ReportDeed.CONTAIN, text="noted"))
    deal(
        people,
        repair,
        number,
        Party.CONTRACTOR,
        Dealing(
            deed=ReportDeed.PROPOSE,
            text="Thick by far, the error is small beside it",
            disposition=Disposition.USE_AS_IS,
        ),
    )
    deal(
        people,
        repair,
        number,
        Party.CLIENT,
        Dealing(
            deed=ReportDeed.APPROVE,
            text="Accepted",
            concession_scope="Thickness of this repair",
            concession_until=until,
        ),
    )
    deal(people, repair, number, Party.INSPECTOR, Dealing(deed=ReportDeed.CLOSE, text="conceded"))


def deal(people: People, repair: Repair, number: int, party: Party, dealing: Dealing) -> Entry:
    """One deed about a report, a day later."""
    return handle_nonconformance(
        repair_id=repair.pk, number=number, dealing=dealing, **act_on(people, party, LATER)
    )


def utc(day: int, hour: int) -> datetime:
    """An hour of May 2026."""
    return datetime(2026, 5, day, hour, tzinfo=UTC)
