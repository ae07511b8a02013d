"""Doubts about who did the work: a scope that the step asks for and nobody named holds."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date
from zoneinfo import ZoneInfo

from qc.engine.plan import Doubt, Party
from qc.records.models import Inspection, Qualification, Repair
from qc.records.progress import StepProgress, day_at_site
from qc.workflow.trust import Progress

INSPECTOR, APPLICATOR = "inspector", "applicator"


def unqualified_people(progress: Progress) -> Iterator[tuple[int, str, Doubt]]:
    """Scopes asked for by a step that nobody named for an inspection held on its day.

    An applicator is named with the inspection; the inspector is who recorded it.
    """
    asked = [
        (repair, step, inspection)
        for repair, steps in progress.items()
        for step in steps
        if step.step.qualifications
        for inspection in step.standing
    ]
    own = _own({(repair.project_id, i.recorded_by_id) for repair, _, i in asked})
    for repair, step, inspection in asked:
        held = own[repair.project_id, inspection.recorded_by_id]
        for doubt in _doubts(repair, step, inspection, held):
            yield repair.pk, step.step.key, doubt


def holding(qualifications: Iterable[Qualification], trade: str, day: date) -> set[str]:
    """The scopes that these hold in a trade on a day; the first and the last day count."""
    return {
        scope.casefold()
        for one in qualifications
        if one.trade == trade and one.valid_from <= day <= one.valid_until
        for scope in one.scopes
    }


def _own(people: set[tuple[int, int]]) -> dict[tuple[int, int], list[Qualification]]:
    """The qualifications of persons with an account, by project and person."""
    found: dict[tuple[int, int], list[Qualification]] = defaultdict(list)
    users = {user for _, user in people}
    for one in Qualification.objects.filter(user__in=users, trade=INSPECTOR):
        if one.user_id is not None:
            found[one.project_id, one.user_id].append(one)
    return found


def _doubts(
    repair: Repair, step: StepProgress, inspection: Inspection, own: list[Qualification]
) -> Iterator[Doubt]:
    day = day_at_site(inspection, ZoneInfo(repair.project.time_zone))
    named = [use.qualification for use in inspection.qualification_uses.all()]
    for trade, scopes in step.step.qualifications.items():
        held = holding([*named, *own], trade, day)
        for scope in scopes:
            if scope.casefold() not in held:
                yield _doubt(trade, scope, inspection, day)


def _doubt(trade: str, scope: str, inspection: Inspection, day: date) -> Doubt:
    who = inspection.recorded_by_name if trade == INSPECTOR else f"no {trade} named"
    holds = "does not hold" if trade == INSPECTOR else "holds"
    return Doubt(
        rule="qualification",
        statement=f'{who} {holds} a qualification for "{scope}" on {day}',
        place="people",
        party=Party.INSPECTOR,
    )
