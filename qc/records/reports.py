"""Where the nonconformance reports of repairs stand, read from their handlings."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch

from qc.engine.nonconformance import Concession, Disposition, ReportDeed, ReportState
from qc.records.models import Handling, Nonconformance, Repair

ACCEPTED = (ReportState.APPROVED, ReportState.CLOSED)
"""The states at which a concession for use-as-is holds."""


@dataclass(frozen=True)
class ReportProgress:
    """A report with everything that was done about it, oldest first."""

    report: Nonconformance
    handlings: tuple[Handling, ...]

    @property
    def state(self) -> ReportState:
        """Where the report stands."""
        return ReportState(self.handlings[-1].state) if self.handlings else ReportState.OPEN

    @property
    def is_open(self) -> bool:
        """True until the report is closed, and once it is reopened."""
        return self.state is not ReportState.CLOSED

    @property
    def disposition(self) -> Disposition | None:
        """The disposition in hand, None before a proposal and after one was declined."""
        if self.state in (ReportState.OPEN, ReportState.CONTAINED):
            return None
        return Disposition(self.handlings[-1].disposition)

    def last(self, deed: ReportDeed) -> Handling | None:
        """The latest handling by this deed."""
        return next((h for h in reversed(self.handlings) if h.deed == deed), None)

    @property
    def approval(self) -> Handling | None:
        """The approval of the disposition in hand."""
        decided = self.disposition not in (None, Disposition.CORRECTION)
        undecided = self.state is ReportState.PROPOSED
        return self.last(ReportDeed.APPROVE) if decided and not undecided else None

    @property
    def concession(self) -> Concession | None:
        """The concession that goes with the disposition in hand."""
        approval = self.approval
        if approval is None or not approval.concession_scope:
            return None
        return Concession(scope=approval.concession_scope, until=approval.concession_until)

    def accepted_until(self, inspection_id: int | None) -> date | None:
        """The last day until which the verdict of this inspection is accepted as it is."""
        approval = self.approval
        if self.disposition is not Disposition.USE_AS_IS or self.state not in ACCEPTED:
            return None
        if approval is None or inspection_id is None or approval.inspection_id != inspection_id:
            return None
        return approval.concession_until


def reports_by_repair(
    repairs: Iterable[Repair] | Iterable[int],
) -> dict[int, tuple[ReportProgress, ...]]:
    """The reports of several repairs, by repair id and in order, in two queries."""
    found: dict[int, list[ReportProgress]] = defaultdict(list)
    rows = Nonconformance.objects.filter(repair__in=repairs).select_related("step", "inspection")
    handled = Prefetch("handlings", Handling.objects.select_related("inspection"))
    for report in rows.prefetch_related(handled):
        found[report.repair_id].append(ReportProgress(report, tuple(report.handlings.all())))
    return defaultdict(tuple, {repair: tuple(reports) for repair, reports in found.items()})


def reports_of(repair: Repair) -> tuple[ReportProgress, ...]:
    """The reports of a repair, in order."""
    return reports_by_repair([repair])[repair.pk]
