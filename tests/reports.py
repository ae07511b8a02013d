"""Nonconformance reports on the way to their end, each deed through the act itself."""

from datetime import date, datetime
from typing import Any

from qc.engine.nonconformance import Disposition, ReportDeed
from qc.engine.plan import Party
from qc.ledger.chain import Entry
from qc.records.models import Inspection, Repair
from qc.workflow import Dealing, handle_nonconformance
from tests.factories import NOON, act_on
from tests.people import People

N, K, C = Party.INSPECTOR, Party.CONTRACTOR, Party.CLIENT
LAST_DAY = date(2026, 12, 31)
"""The last day of a concession in tests."""


def deal(
    people: People,
    repair: Repair,
    deed: ReportDeed,
    party: Party,
    *,
    number: int = 1,
    at: datetime = NOON,
    text: str = "said in words",
    **said: Any,
) -> Entry:
    """One deed about a report by a party."""
    dealing = Dealing(deed=deed, text=text, **said)
    return handle_nonconformance(
        repair_id=repair.pk, number=number, dealing=dealing, **act_on(people, party, at)
    )


def propose(people: People, repair: Repair, disposition: Disposition, number: int = 1) -> None:
    """The contractor contains what was reported and proposes a disposition."""
    deal(people, repair, ReportDeed.CONTAIN, K, number=number)
    deal(people, repair, ReportDeed.PROPOSE, K, number=number, disposition=disposition)


def concede(people: People, repair: Repair, number: int = 1, until: date = LAST_DAY) -> None:
    """The contractor proposes use-as-is, and the client grants the concession."""
    propose(people, repair, Disposition.USE_AS_IS, number)
    deal(
        people,
        repair,
        ReportDeed.APPROVE,
        C,
        number=number,
        concession_scope="One spot of 4 mm, west end",
        concession_until=until,
    )


def agree_rework(people: People, repair: Repair, number: int = 1) -> None:
    """Rework is proposed, approved by the inspector, and done."""
    propose(people, repair, Disposition.REWORK, number)
    deal(people, repair, ReportDeed.APPROVE, N, number=number)
    deal(people, repair, ReportDeed.IMPLEMENT, K, number=number)


def verify(people: People, repair: Repair, number: int = 1) -> None:
    """The inspector names the latest readings as re-inspection and closes the report."""
    latest = Inspection.objects.filter(repair=repair).latest("id")
    deal(people, repair, ReportDeed.REINSPECT, N, number=number, inspection_id=latest.pk)
    deal(people, repair, ReportDeed.CLOSE, N, number=number)
