"""Until when a doubt is covered by a concession: the client permits what rests on it as it is."""

from collections.abc import Collection
from datetime import date

from qc.engine.nonconformance import Disposition, Origin
from qc.records.models import Inspection
from qc.records.progress import StepProgress
from qc.records.reports import ACCEPTED, ReportProgress


def conceded_until(
    step: StepProgress, origin: Origin, inspections: Collection[Inspection]
) -> date | None:
    """The last day on which a concession covers all of these inspections; None without one."""
    days = [_day(step, origin, inspection) for inspection in inspections]
    covered = [day for day in days if day is not None]
    return min(covered) if covered and len(covered) == len(days) else None


def _day(step: StepProgress, origin: Origin, inspection: Inspection) -> date | None:
    days = (
        _granted_until(held)
        for held in step.reports
        if held.report.origin == origin and _is_about(held, inspection)
    )
    return max((day for day in days if day is not None), default=None)


def _is_about(held: ReportProgress, inspection: Inspection) -> bool:
    """A report names the latest of the inspections that it is about."""
    return (held.report.inspection_id or 0) >= inspection.pk


def _granted_until(held: ReportProgress) -> date | None:
    concession = held.concession
    if held.disposition is not Disposition.USE_AS_IS or held.state not in ACCEPTED:
        return None
    return concession.until if concession else None
