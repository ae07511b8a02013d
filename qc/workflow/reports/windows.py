"""A time window that turns out not to be kept opens a report by itself."""

from dataclasses import replace
from zoneinfo import ZoneInfo

from qc.engine.nonconformance import Origin
from qc.records.models import Inspection, Nonconformance
from qc.records.progress import StepProgress
from qc.workflow.deed import Deed
from qc.workflow.doubts.windows import breaches
from qc.workflow.reports.opening import open_report


def report_broken_windows(
    deed: Deed, progress: StepProgress, inspection: Inspection
) -> list[Nonconformance]:
    """A report for each window of the step that `inspection` shows to be broken, and none before.

    `progress` is the step before the inspection was recorded. While a report on its windows is
    open, that one goes on.
    """
    if any(held.is_open and held.report.origin == Origin.WINDOW for held in progress.reports):
        return []
    zone = ZoneInfo(deed.repair.project.time_zone)
    after = replace(progress, inspections=(*progress.inspections, inspection))
    known = breaches(progress, deed.progress, zone)
    step = progress.step
    return [
        open_report(
            deed.repair,
            origin=Origin.WINDOW,
            step=step,
            inspection=inspection,
            statement=f"Step {step.position}, {step.title}: {breach}.",
            party=deed.party,
            actor=deed.actor,
            at=deed.at,
        )
        for breach in breaches(after, deed.progress, zone)
        if breach not in known
    ]
