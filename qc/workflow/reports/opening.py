"""Opening a report: by a failing verdict, by work past a hold, or by somebody who saw something."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from qc.accounts.models import User
from qc.engine.lifecycle import Act, Refused
from qc.engine.nonconformance import Origin, ReportDeed, ReportState, is_undone_by_failure
from qc.engine.plan import Blocker, Intervention, Party
from qc.engine.rules import Outcome
from qc.ledger.chain import Entry
from qc.records.models import Handling, Inspection, Nonconformance, PlanStep, Repair
from qc.records.progress import StepProgress
from qc.workflow.deed import Deed, act, begin, finish, void_signatures
from qc.workflow.reports.handling import save_handling

REPORTED_BY_HAND = (Origin.OBSERVATION, Origin.HOLD)
"""What a person reports; the other origins open a report by themselves."""

_LONGEST = 1000


@act
def report_nonconformance(
    *,
    repair_id: int,
    statement: str,
    actor: User,
    at: datetime,
    act_id: UUID,
    origin: Origin = Origin.OBSERVATION,
    position: int | None = None,
) -> Entry:
    """Report what was seen, at a step or on the repair as a whole; any party may.

    With origin `hold`: that work went on past the open hold at `position`. What was done past it
    can be recorded from then on; hold and report stay in the way of the release.
    """
    deed = begin(Act.REPORT_NONCONFORMANCE, repair_id=repair_id, actor=actor, at=at, act_id=act_id)
    progress = deed.step(position) if position is not None else None
    if reasons := _objections(origin, statement.strip(), progress):
        raise Refused(*reasons)
    report = open_report(
        deed.repair,
        origin=origin,
        step=progress.step if progress else None,
        inspection=None,
        statement=statement.strip(),
        party=deed.party,
        actor=actor,
        at=at,
    )
    returned = void_signatures(deed, f"Nonconformance report {report.number} was opened.")
    return finish(deed, report, returned)


def open_report(
    repair: Repair,
    *,
    origin: Origin,
    step: PlanStep | None,
    inspection: Inspection | None,
    statement: str,
    party: Party,
    actor: User,
    at: datetime,
) -> Nonconformance:
    """Open a report within an act that holds the lock of the repair.

    `inspection` is the one whose verdict did not conform, or whose readings are in doubt. The act
    itself voids the signatures (`void_signatures`) and states the report with its own rows.
    """
    last = Nonconformance.objects.filter(repair=repair).order_by("-number").first()
    return Nonconformance.objects.create(
        repair=repair,
        number=last.number + 1 if last else 1,
        origin=origin,
        step=step,
        inspection=inspection,
        statement=statement[:_LONGEST],
        party=party,
        opened_by=actor,
        opened_by_name=actor.printed_name,
        opened_at=at,
    )


def report_failure(
    deed: Deed, progress: StepProgress, inspection: Inspection
) -> Nonconformance | Handling | None:
    """What a verdict does to the reports of its step: the row written, for the act's entry.

    One that does not conform opens a report. Where one of its kind is open already, that one goes
    on; it is reopened if the step was thought to be dealt with.
    """
    if inspection.came_to is not Outcome.DOES_NOT_CONFORM:
        return None
    statement = failure_in_words(progress.step, inspection.verdict)
    known = [r for r in progress.reports if r.is_open and r.report.origin == Origin.VERDICT]
    if not known:
        return open_report(
            deed.repair,
            origin=Origin.VERDICT,
            step=progress.step,
            inspection=inspection,
            statement=statement,
            party=deed.party,
            actor=deed.actor,
            at=deed.at,
        )
    if not is_undone_by_failure(known[-1].state, known[-1].disposition):
        return None
    return save_handling(
        deed,
        known[-1],
        deed_done=ReportDeed.REOPEN,
        state=ReportState.OPEN,
        text=statement,
        inspection_id=inspection.pk,
    )


def failure_in_words(step: PlanStep, verdict: Mapping[str, Any]) -> str:
    """What failed, from the findings of a verdict."""
    failed = [
        finding["statement"]
        for finding in verdict["findings"]
        if finding["outcome"] == Outcome.DOES_NOT_CONFORM
    ]
    return f"Step {step.position}, {step.title}: {' '.join(failed)}"[:_LONGEST]


def _objections(origin: Origin, statement: str, progress: StepProgress | None) -> list[Blocker]:
    position = progress.step.position if progress else None
    found = []
    if origin not in REPORTED_BY_HAND:
        found.append(("origin", f"A report of origin {origin} opens by itself."))
    if not statement:
        found.append(("statement", "Say what does not conform."))
    if len(statement) > _LONGEST:
        found.append(("statement", f"{len(statement)} characters are more than {_LONGEST}."))
    if origin is Origin.HOLD:
        found.extend(("position", problem) for problem in _against_a_hold(progress))
    return [
        Blocker(rule=rule, statement=problem, step=position, place="report", party=Party.INSPECTOR)
        for rule, problem in found
    ]


def _against_a_hold(progress: StepProgress | None) -> list[str]:
    if progress is None:
        return ["Name the step at whose hold point the work did not wait."]
    name = f"Step {progress.step.position}, {progress.step.title}"
    if not any(p.intervention is Intervention.HOLD and not p.closed for p in progress.points):
        return [f"{name}, has no open hold point."]
    if progress.passed_since is not None:
        return [f"{name}: work past its hold has been reported already."]
    return []
