"""Nonconformance reports: opening them, and everything done about them until they are closed."""

from qc.workflow.reports.handling import Dealing, handle_nonconformance
from qc.workflow.reports.opening import (
    open_report,
    report_failure,
    report_nonconformance,
)

__all__ = [
    "Dealing",
    "handle_nonconformance",
    "open_report",
    "report_failure",
    "report_nonconformance",
]
