"""What stands open before release, and what stops the work before a step."""

from collections.abc import Iterator
from datetime import date, datetime

from qc.engine.plan.facts import Blocker, OpenReport, Point, StepFacts
from qc.engine.plan.parties import Party
from qc.engine.rules import Outcome


def holds_before(
    steps: tuple[StepFacts, ...], position: int, at: datetime | None = None
) -> tuple[Blocker, ...]:
    """The points of earlier steps that stop the work at `at`: nothing is recorded past them."""
    return tuple(
        _point_open(step, point)
        for step in steps
        if step.position < position
        for point in step.points
        if point.stops_at(at)
    )


def open_items(
    steps: tuple[StepFacts, ...],
    reports: tuple[OpenReport, ...] = (),
    day: date | None = None,
) -> tuple[Blocker, ...]:
    """Everything that stands open at once: outcomes, points, evidence, means, doubts, reports.

    `day` is the day at the site, on which a concession must still be in force.
    """
    if not steps:
        return (_blocker("plan", "The plan has no step.", None, "plan", Party.CONTRACTOR),)
    of_steps = tuple(blocker for step in steps for blocker in _open_in(step, day))
    return of_steps + tuple(_report_open(report) for report in reports)


def _report_open(report: OpenReport) -> Blocker:
    state = report.state.replace("_", " ")
    statement = f"Nonconformance report {report.number} is not closed: {state}."
    return _blocker(
        "nonconformance", statement, report.step, f"report/{report.number}", report.party
    )


def _open_in(step: StepFacts, day: date | None) -> Iterator[Blocker]:
    yield from _outcome_open(step, day)
    yield from _points_to_close(step)
    for label in step.evidence_missing:
        statement = f"{_name(step)}: evidence missing: {label}."
        yield _blocker("evidence", statement, step.position, "evidence", Party.CONTRACTOR)
    yield from _out_of_calibration(step)
    yield from _out_of_shelf_life(step)
    for doubt in step.doubts:
        if doubt.stands_on(day):
            statement = f"{_name(step)}: {doubt.statement}."
            yield _blocker(doubt.rule, statement, step.position, doubt.place, doubt.party)


_OUTCOME_STATEMENTS = {
    None: "nothing has been recorded",
    Outcome.DOES_NOT_CONFORM: "the latest verdict does not conform",
    Outcome.INCOMPLETE: "readings are incomplete",
    Outcome.CANNOT_BE_JUDGED: "the readings cannot be judged",
}


def _outcome_open(step: StepFacts, day: date | None) -> Iterator[Blocker]:
    if step.outcome is Outcome.DOES_NOT_CONFORM and step.conceded_until is not None:
        if day is None or day > step.conceded_until:
            statement = f"{_name(step)}: the concession expired on {step.conceded_until}."
            yield _blocker("concession", statement, step.position, "report", Party.CLIENT)
        return
    if step.outcome is not Outcome.CONFORMS:
        statement = f"{_name(step)}: {_OUTCOME_STATEMENTS[step.outcome]}."
        rule = "reading" if step.outcome else "not_started"
        yield _blocker(rule, statement, step.position, "step", Party.INSPECTOR)


def _open_points(step: StepFacts) -> Iterator[Blocker]:
    for point in step.points:
        if point.intervention.gates_release and not point.closed:
            yield _point_open(step, point)


def _point_open(step: StepFacts, point: Point) -> Blocker:
    statement = f"{_name(step)}: {point.intervention} point of the {point.party} is open."
    return _blocker(str(point.intervention), statement, step.position, "point", point.party)


def _points_to_close(step: StepFacts) -> Iterator[Blocker]:
    """The open points, but for the inspector's while the verdict that closes them is awaited."""
    awaited = not step.is_accepted
    for blocker in _open_points(step):
        if not (awaited and blocker.party is Party.INSPECTOR):
            yield blocker


def _out_of_calibration(step: StepFacts) -> Iterator[Blocker]:
    for use in step.instruments:
        if not use.in_calibration:
            until = f"due {use.covered_until}" if use.covered_until else "no calibration on record"
            statement = (
                f"{_name(step)}: instrument {use.identifier} was out of calibration"
                f" on {use.used_on} ({until})."
            )
            yield _blocker("calibration", statement, step.position, "instruments", Party.CONTRACTOR)


def _out_of_shelf_life(step: StepFacts) -> Iterator[Blocker]:
    for use in step.batches:
        if use.expiry is not None and use.used_on > use.expiry:
            statement = (
                f"{_name(step)}: batch {use.number} was used on {use.used_on},"
                f" after its expiry on {use.expiry}."
            )
            yield _blocker("shelf_life", statement, step.position, "step", Party.INSPECTOR)


def _name(step: StepFacts) -> str:
    return f"Step {step.position}, {step.title}"


def _blocker(rule: str, statement: str, step: int | None, place: str, party: Party) -> Blocker:
    return Blocker(rule=rule, statement=statement, step=step, place=place, party=party)
