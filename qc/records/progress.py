"""How far each step of a repair has come, read from the rows."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import Prefetch

from qc.engine.fields import Values
from qc.engine.nonconformance import Origin
from qc.engine.plan import Intervention, Party, Point, Terms, terms_of
from qc.engine.rules import Outcome
from qc.records.models import (
    Inspection,
    Notice,
    Plan,
    PlanStep,
    PointClosure,
    Reading,
    Repair,
)
from qc.records.queries import plan_in_force
from qc.records.reports import ReportProgress, reports_by_repair


@dataclass(frozen=True)
class StepProgress:
    """A step with everything recorded on it, oldest first.

    `inspections` and `closures` are all there are; what was recorded before a revision of the plan
    gave the step other content is shown, and counts no longer.
    """

    step: PlanStep
    inspections: tuple[Inspection, ...]
    closures: tuple[PointClosure, ...]
    notices: tuple[Notice, ...] = ()
    terms: Mapping[Intervention, Terms] = field(default_factory=lambda: terms_of({}))
    reports: tuple[ReportProgress, ...] = ()

    @property
    def counting(self) -> tuple[Inspection, ...]:
        """The inspections made of the step as the plan in force has it."""
        return tuple(i for i in self.inspections if i.step.since >= self.step.since)

    @property
    def latest(self) -> Inspection | None:
        """The inspection whose verdict stands for the step."""
        counting = self.counting
        return counting[-1] if counting else None

    @property
    def outcome(self) -> Outcome | None:
        """The outcome of the step, None before any inspection."""
        return self.latest.came_to if self.latest else None

    @property
    def series(self) -> int:
        """The series the step stands at: after a revision of the step the next, from 1 on."""
        if self.latest:
            return self.latest.series
        return max((i.series for i in self.inspections), default=0) + 1

    @property
    def opens_new_series(self) -> bool:
        """True where the next inspection follows a verdict that does not conform."""
        return self.outcome is Outcome.DOES_NOT_CONFORM

    @property
    def conceded_until(self) -> date | None:
        """The last day of a concession granted for exactly the verdict that stands."""
        if self.latest is None or self.outcome is not Outcome.DOES_NOT_CONFORM:
            return None
        days = (report.accepted_until(self.latest.pk) for report in self.reports)
        return max((day for day in days if day is not None), default=None)

    @property
    def is_accepted(self) -> bool:
        """True where the step's verdict conforms, or a concession was granted for it."""
        return self.outcome is Outcome.CONFORMS or self.conceded_until is not None

    @property
    def passed_since(self) -> datetime | None:
        """Since when it is known that work went on past a hold here; None once that is closed."""
        known = (
            r.report.opened_at for r in self.reports if r.is_open and r.report.origin == Origin.HOLD
        )
        return min(known, default=None)

    @property
    def corrected(self) -> frozenset[int]:
        """The ids of inspections that a later one corrects."""
        return frozenset(i.corrects_id for i in self.inspections if i.corrects_id)

    @property
    def standing(self) -> tuple[Inspection, ...]:
        """The inspections of the current series that no later one corrects."""
        gone = self.corrected
        return tuple(i for i in self.counting if i.series == self.series and i.pk not in gone)

    @property
    def begun_at(self) -> datetime | None:
        """The first moment observed in the current series: from when later times are judged."""
        return min((i.observed_at for i in self.standing), default=None)

    @property
    def done_at(self) -> datetime | None:
        """The last moment observed in the current series: until when earlier times are judged."""
        return max((i.observed_at for i in self.standing), default=None)

    @property
    def standing_readings(self) -> tuple[Reading, ...]:
        """The readings of the standing inspections, in the order they were observed."""
        ordered = sorted(self.standing, key=lambda i: (i.observed_at, i.pk))
        return tuple(reading for inspection in ordered for reading in inspection.readings.all())

    @property
    def points(self) -> tuple[Point, ...]:
        """The intervention points of the step, open or closed."""
        return tuple(
            Point(
                party=Party(party),
                intervention=Intervention(code),
                closed=self._is_closed(Party(party), Intervention(code)),
                stops_work=self._waits_for_notice(Party(party), Intervention(code)),
                work_goes_on_from=self._goes_on_from(Party(party), Intervention(code)),
            )
            for party, code in self.step.points.items()
        )

    def notice_of(self, party: Party) -> Notice | None:
        """The latest notice given to a party for the current series, or for the next."""
        given = (n for n in reversed(self.notices) if n.party == party and n.series >= self.series)
        return next(given, None)

    def _waits_for_notice(self, party: Party, intervention: Intervention) -> bool:
        """Whether later work waits until a witness was told; the inspector is there to record."""
        is_called = intervention is Intervention.WITNESS and party is not Party.INSPECTOR
        return is_called and self.terms[intervention].needs_notice

    def _goes_on_from(self, party: Party, intervention: Intervention) -> datetime | None:
        """The moment of which the witness was given notice, early enough or it was refused.

        At a hold: that at which it was reported that work went on past it. The hold stays open.
        """
        if intervention is Intervention.HOLD:
            return self.passed_since
        notice = self.notice_of(party) if intervention is Intervention.WITNESS else None
        return notice.scheduled_at if notice else None

    def closure_of(self, party: Party) -> PointClosure | None:
        """The closure of a party's point that still stands.

        A correction, a new series or a revision of the step after it takes the closure away: it
        was given for other readings.
        """
        last_correction = max((i.pk for i in self.inspections if i.corrects_id), default=0)
        for closure in reversed(self.closures):
            if closure.step.since < self.step.since:
                continue
            if closure.party == party and closure.series == self.series:
                seen = closure.inspection_id or 0
                return closure if seen >= last_correction else None
        return None

    def _is_closed(self, party: Party, intervention: Intervention) -> bool:
        if intervention is Intervention.SURVEILLANCE:
            return True
        # The inspector is present by recording: a verdict that is accepted is the release.
        if party is Party.INSPECTOR and self.is_accepted:
            return True
        return self.closure_of(party) is not None


def progress_of(repair: Repair, plan: Plan | None = None) -> tuple[StepProgress, ...]:
    """The progress of every step of the plan in force, in a fixed number of queries."""
    return progress_by_repair({repair.pk: plan or plan_in_force(repair)})[repair.pk]


def progress_by_repair(
    plans: Mapping[int, Plan], *, with_readings: bool = True
) -> dict[int, tuple[StepProgress, ...]]:
    """The progress of several repairs, by repair id, in a number of queries that stays the same.

    A list of repairs does without the readings, of which there can be thousands.
    """
    readings = [Prefetch("readings", Reading.objects.order_by("position"))]
    inspections = defaultdict(list)
    for inspection in (
        Inspection.objects.filter(repair__in=plans)
        .select_related("step__plan")
        .prefetch_related(
            *(readings if with_readings else ()),
            "instrument_uses__instrument__calibrations",
            "batch_uses__batch",
            "qualification_uses__qualification",
        )
    ):
        inspections[inspection.repair_id, inspection.step.key].append(inspection)
    closures = defaultdict(list)
    for closure in PointClosure.objects.filter(repair__in=plans).select_related("step"):
        closures[closure.repair_id, closure.step.key].append(closure)
    notices = _notices_by_step(plans)
    terms = {repair: terms_of(plan.terms) for repair, plan in plans.items()}
    reports = reports_by_repair(plans)
    return {
        repair: tuple(
            StepProgress(
                step=step,
                inspections=tuple(inspections[repair, step.key]),
                closures=tuple(closures[repair, step.key]),
                notices=tuple(notices[repair, step.key]),
                terms=terms[repair],
                reports=tuple(
                    r for r in reports[repair] if r.report.step and r.report.step.key == step.key
                ),
            )
            for step in plan.steps.all()
        )
        for repair, plan in plans.items()
    }


def _notices_by_step(repairs: Iterable[int]) -> Mapping[tuple[int, str], list[Notice]]:
    """The notices with their answers, by repair id and step key, in one query."""
    found: dict[tuple[int, str], list[Notice]] = defaultdict(list)
    for notice in Notice.objects.filter(repair__in=repairs).select_related("step", "answer"):
        found[notice.repair_id, notice.step.key].append(notice)
    return found


def typed_readings(step: PlanStep, readings: Iterable[Reading]) -> list[Values]:
    """Stored readings as the engine takes them: the one gate from JSON to typed values."""
    return [step.checks.parse_reading(r.values, f"reading {r.position}") for r in readings]


def day_at_site(inspection: Inspection, zone: ZoneInfo) -> date:
    """The calendar day of an inspection at the site."""
    return inspection.observed_at.astimezone(zone).date()
