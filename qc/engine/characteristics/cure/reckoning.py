"""A cure reckoned from its log: progress by every measure, completion, and the forecast."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from functools import cached_property

from qc.engine.characteristic import Criteria
from qc.engine.characteristics.cure.log import Log
from qc.engine.characteristics.cure.measures import Measure, judged, measures
from qc.engine.formulas.elapsed import hours_of, moment_after
from qc.engine.formulas.kinetics import Interval, course, hours_until
from qc.engine.rules import Decision


@dataclass(frozen=True)
class Cure:
    """A log reckoned by the plan.

    `guard` is how much colder than read it is taken, in degC; `parts` are the intervals before
    the first gap, and `gap` the interval that is longer than the plan allows.
    """

    criteria: Criteria
    log: Log
    guard: Fraction
    parts: Sequence[Interval]
    gap: Interval | None

    @cached_property
    def measures(self) -> tuple[Measure, ...]:
        """Every way to reckon it that the plan could give."""
        return measures(self.criteria)

    @cached_property
    def judged(self) -> list[Measure]:
        """The measures that decide."""
        return judged(self.criteria, self.measures)

    @cached_property
    def courses(self) -> Mapping[str, tuple[Fraction, ...]]:
        """Progress at each reading, by the name of the measure, where the plan gives its rate."""
        return {m.name: course(m.rate, self.parts) for m in self.measures if m.rate is not None}

    def progress(self, measure: Measure) -> Fraction | None:
        """What the measure has come to."""
        found = self.courses.get(measure.name)
        return None if found is None else found[-1]

    @cached_property
    def complete_at(self) -> datetime | None:
        """The full second by which every measure that decides is reached."""
        hours = _latest([self._hours(measure) for measure in self.judged])
        return None if hours is None else moment_after(self.log.moments[0], hours, round_up=True)

    @cached_property
    def forecast_at(self) -> datetime | None:
        """When it would be complete if the last temperature held; None where it never would."""
        if self.gap is not None or self.complete_at is not None:
            return None
        hours = _latest([self._remaining(measure) for measure in self.judged])
        return None if hours is None else moment_after(self.log.moments[-1], hours, round_up=True)

    def _hours(self, measure: Measure) -> Fraction | None:
        found = self.courses.get(measure.name)
        if found is None or measure.target is None:
            return None
        return hours_until(measure.target, found, self.parts)

    def _remaining(self, measure: Measure) -> Fraction | None:
        progress = self.progress(measure)
        if measure.rate is None or measure.target is None or progress is None:
            return None
        if progress >= measure.target:
            return Fraction(0)
        last = self.parts[-1].last
        rate = measure.rate(Interval(Fraction(1), last, last))
        return (measure.target - progress) / rate if rate else None


def reckoned(criteria: Criteria, log: Log) -> Cure:
    """The cure of a log of two readings or more."""
    guard = _guard(criteria)
    parts = log.intervals(guard)
    longest = criteria.quantity("gap_max")
    if longest is not None:
        most = hours_of(longest)
        for i, part in enumerate(parts):
            if part.hours > most:
                return Cure(criteria, log, guard, parts[:i], part)
    return Cure(criteria, log, guard, parts, None)


def _guard(criteria: Criteria) -> Fraction:
    """A guarded decision takes the cure to have been as cold as the uncertainty allows; guarded
    rejection, with a guard below 0, as warm."""
    uncertainty = criteria.quantity("expanded_uncertainty")
    decision = criteria.text("decision", Decision.SIMPLE)
    if uncertainty is None or decision == Decision.SIMPLE:
        return Fraction(0)
    stated = criteria.number("guard_factor")
    factor = Fraction(1 if stated is None else stated)
    guard = Fraction(uncertainty.magnitude_in("delta_degC")) * factor
    return guard if decision == Decision.GUARDED else -guard


def _latest(hours: Sequence[Fraction | None]) -> Fraction | None:
    known = [one for one in hours if one is not None]
    return max(known) if len(known) == len(hours) else None
