"""What is done about a report, one deed after the other, until it is closed."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from qc.accounts.models import User
from qc.engine.lifecycle import Act, Refused
from qc.engine.nonconformance import (
    Concession,
    Disposition,
    ReportDeed,
    ReportFacts,
    ReportState,
    decide_on_report,
)
from qc.engine.plan import Blocker, Party
from qc.ledger.chain import Entry
from qc.records.models import Handling
from qc.records.progress import StepProgress
from qc.records.reports import ReportProgress, reports_of
from qc.workflow.deed import Deed, act, begin, finish
from qc.workflow.report_facts import named_readings, report_facts, step_of


@dataclass(frozen=True, kw_only=True)
class Dealing:
    """What a person does about a report, and says with it.

    `disposition` goes with a proposal, and as `correction` with closing; `concession_*` with the
    approval of repair or use-as-is; `inspection_id` names new or corrected readings, or, with the
    approval of use-as-is, the inspection whose verdict was looked at.
    """

    deed: ReportDeed
    text: str = ""
    disposition: Disposition | None = None
    concession_scope: str = ""
    concession_until: date | None = None
    inspection_id: int | None = None


@act
def handle_nonconformance(
    *, repair_id: int, number: int, dealing: Dealing, actor: User, at: datetime, act_id: UUID
) -> Entry:
    """Do one deed about report `number` of the repair. Refused with every reason at once."""
    deed = begin(Act.HANDLE_NONCONFORMANCE, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    held = report_numbered(deed, number)
    facts = told_facts(deed, held, dealing)
    transition = decide_on_report(dealing.deed, deed.party, facts)
    has_concession = transition.deed is ReportDeed.APPROVE and facts.disposition in (
        Disposition.REPAIR,
        Disposition.USE_AS_IS,
    )
    handling = save_handling(
        deed,
        held,
        deed_done=transition.deed,
        state=transition.after,
        text=dealing.text.strip(),
        disposition=_disposition_kept(dealing, facts),
        concession_scope=dealing.concession_scope.strip() if has_concession else "",
        concession_until=dealing.concession_until if has_concession else None,
        inspection_id=_inspection_kept(held, deed.progress, dealing, facts),
    )
    return finish(deed, handling)


def report_numbered(deed: Deed, number: int) -> ReportProgress:
    """The repair's report of this number; Refused if there is none."""
    found = next((r for r in reports_of(deed.repair) if r.report.number == number), None)
    if found is None:
        statement = f"The repair has no nonconformance report {number}."
        raise Refused(
            Blocker(
                rule="report",
                statement=statement,
                step=None,
                place="report",
                party=Party.INSPECTOR,
            )
        )
    return found


def told_facts(deed: Deed, held: ReportProgress, dealing: Dealing) -> ReportFacts:
    """The facts of the report with what is said."""
    if deed.facts.day is None:
        raise ValueError("a report is decided on a day")
    known = report_facts(held, deed.progress, actor=deed.actor.pk, day=deed.facts.day)
    named = _inspection_named(held, dealing)
    return replace(
        known,
        covers_standing=_still_stands(held, deed.progress, dealing, known),
        text=dealing.text,
        chosen=dealing.disposition,
        concession=Concession(scope=dealing.concession_scope, until=dealing.concession_until),
        readings=named_readings(held, deed.progress, named) if named else None,
    )


def save_handling(
    deed: Deed,
    held: ReportProgress,
    *,
    deed_done: ReportDeed,
    state: ReportState,
    text: str,
    disposition: Disposition | None = None,
    concession_scope: str = "",
    concession_until: date | None = None,
    inspection_id: int | None = None,
) -> Handling:
    """Write the next handling of a report."""
    return Handling.objects.create(
        report=held.report,
        position=len(held.handlings) + 1,
        deed=deed_done,
        state=state,
        disposition=disposition or "",
        text=text,
        concession_scope=concession_scope,
        concession_until=concession_until,
        inspection_id=inspection_id,
        party=deed.party,
        done_by=deed.actor,
        done_by_name=deed.actor.printed_name,
        done_at=deed.at,
    )


def _inspection_named(held: ReportProgress, dealing: Dealing) -> int | None:
    """The inspection named; at the end the one that was re-inspected, unless another is named."""
    if dealing.inspection_id is not None or dealing.deed is not ReportDeed.CLOSE:
        return dealing.inspection_id
    verified = held.last(ReportDeed.REINSPECT)
    return verified.inspection_id if verified else None


def _still_stands(
    held: ReportProgress, steps: tuple[StepProgress, ...], dealing: Dealing, known: ReportFacts
) -> bool:
    """Whether the verdict that was looked at, or conceded, is the one that stands."""
    if dealing.deed is not ReportDeed.APPROVE or dealing.inspection_id is None:
        return known.covers_standing
    progress = step_of(held, steps)
    latest = progress.latest if progress else None
    return latest is not None and latest.pk == dealing.inspection_id


def _disposition_kept(dealing: Dealing, facts: ReportFacts) -> Disposition | None:
    """The disposition in hand after the deed, which the handling keeps beside it."""
    if dealing.deed is ReportDeed.PROPOSE:
        return facts.chosen
    if dealing.deed is ReportDeed.CLOSE and facts.chosen is Disposition.CORRECTION:
        return Disposition.CORRECTION
    return facts.disposition


def _inspection_kept(
    held: ReportProgress, steps: tuple[StepProgress, ...], dealing: Dealing, facts: ReportFacts
) -> int | None:
    """The inspection that the deed rests on: re-inspected, corrected, or accepted as it is."""
    if dealing.deed is ReportDeed.APPROVE and facts.disposition is Disposition.USE_AS_IS:
        progress = step_of(held, steps)
        return progress.latest.pk if progress and progress.latest else None
    if dealing.deed in (ReportDeed.REINSPECT, ReportDeed.CLOSE) and facts.readings is not None:
        return _inspection_named(held, dealing)
    return None
