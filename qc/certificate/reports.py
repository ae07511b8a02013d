"""Nonconformance reports and concessions as the certificate prints them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from qc.certificate.site import Site, day
from qc.engine.nonconformance import Disposition, Origin, ReportDeed, ReportState
from qc.engine.wording.reports import DEED_WORDS, DISPOSITION_WORDS, ORIGIN_WORDS, STATE_WORDS


@dataclass(frozen=True)
class ConcessionView:
    """What a client permitted: for which step, what, until when, and who granted it."""

    report: int
    title: str
    scope: str
    until: str
    granted: str
    is_for_verdict: bool


@dataclass(frozen=True)
class Deed:
    """One thing done about a report. `did` is what; `said` is what was written with it."""

    at: str
    by: str
    did: str
    said: str


@dataclass(frozen=True)
class ReportView:
    """A report with its history."""

    number: int
    title: str
    origin: str
    statement: str
    opened: str
    state: str
    concession: ConcessionView | None
    deeds: tuple[Deed, ...]


def report_views(record: Mapping[str, Any], site: Site) -> tuple[ReportView, ...]:
    """The reports of a record, in order; none in a record that knows of no reports."""
    return tuple(_report(report, site) for report in record.get("reports", ()))


def concessions_in(reports: tuple[ReportView, ...]) -> tuple[ConcessionView, ...]:
    """Every concession that holds, in the order of the reports."""
    return tuple(report.concession for report in reports if report.concession)


def _report(report: Mapping[str, Any], site: Site) -> ReportView:
    disposition = report["disposition"]
    words = f": {DISPOSITION_WORDS[Disposition(disposition)]}" if disposition else ""
    return ReportView(
        number=report["number"],
        title=report["title"] or "The repair as a whole",
        origin=ORIGIN_WORDS[Origin(report["origin"])],
        statement=site.said(report["statement"]),
        opened=f"{site.moment(report['at'])}, {report['by']} ({report['party']})",
        state=f"{STATE_WORDS[ReportState(report['state'])]}{words}",
        concession=_concession(report, site),
        deeds=tuple(_deeds(report, site)),
    )


def _concession(report: Mapping[str, Any], site: Site) -> ConcessionView | None:
    granted = report["concession"]
    if granted is None:
        return None
    return ConcessionView(
        report=report["number"],
        title=report["title"] or "The repair as a whole",
        scope=granted["scope"],
        until=day(granted["until"]),
        granted=f"{granted['granted_by']} ({granted['party']}), {site.moment(granted['at'])}",
        is_for_verdict=report["disposition"] == Disposition.USE_AS_IS,
    )


def _deeds(report: Mapping[str, Any], site: Site) -> Iterator[Deed]:
    for one in report["handlings"]:
        deed = ReportDeed(one["deed"])
        names_it = deed in (ReportDeed.PROPOSE, ReportDeed.APPROVE, ReportDeed.DECLINE)
        which = DISPOSITION_WORDS[Disposition(one["disposition"])] if names_it else ""
        yield Deed(
            at=site.moment(one["at"]),
            by=f"{one['by']} ({one['party']})",
            did=f"{DEED_WORDS[deed]} {which}".strip(),
            said=site.said(one["text"]),
        )
