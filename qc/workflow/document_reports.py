"""Nonconformance reports and concessions, as the record states them."""

from collections.abc import Iterable
from typing import Any

from qc.ledger.chain import utc_text
from qc.records.models import Handling
from qc.records.reports import ReportProgress


def reports_document(reports: Iterable[ReportProgress]) -> list[dict[str, Any]]:
    """Every report of a repair with all that was done about it, in order."""
    return [_report(held) for held in reports]


def _report(held: ReportProgress) -> dict[str, Any]:
    report = held.report
    return {
        "number": report.number,
        "origin": report.origin,
        "step": report.step.key if report.step else "",
        "title": str(report.step) if report.step else "",
        "inspection": report.inspection_id,
        "statement": report.statement,
        "by": report.opened_by_name,
        "party": report.party,
        "at": utc_text(report.opened_at),
        "state": str(held.state),
        "disposition": str(held.disposition or ""),
        "concession": _concession(held),
        "handlings": [_handling(handling) for handling in held.handlings],
    }


def _concession(held: ReportProgress) -> dict[str, Any] | None:
    """The concession in hand: scope, last day, who granted it, for which inspection."""
    approval, concession = held.approval, held.concession
    if approval is None or concession is None or concession.until is None:
        return None
    return {
        "scope": concession.scope,
        "until": concession.until.isoformat(),
        "granted_by": approval.done_by_name,
        "party": approval.party,
        "at": utc_text(approval.done_at),
        "inspection": approval.inspection_id,
    }


def _handling(handling: Handling) -> dict[str, Any]:
    until = handling.concession_until
    return {
        "deed": handling.deed,
        "state": handling.state,
        "disposition": handling.disposition,
        "text": handling.text,
        "concession_scope": handling.concession_scope,
        "concession_until": until.isoformat() if until else "",
        "inspection": handling.inspection_id,
        "by": handling.done_by_name,
        "party": handling.party,
        "at": utc_text(handling.done_at),
    }
