"""What stands ready when a reading is entered: the step, its rows, the instruments and batches."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from typing import Any
from zoneinfo import ZoneInfo

from qc.engine.fields import Field, Kind
from qc.engine.wording import value_text
from qc.records.models import Batch, Inspection, Instrument, PlanStep, Qualification
from qc.records.progress import StepProgress
from qc.web.forms.entries import Setting
from qc.web.forms.rows import Row
from qc.web.loading import RepairInHand
from qc.workflow.trust import spans_by_instrument


@dataclass(frozen=True, kw_only=True)
class Work:
    """A step as it is found by whoever enters a reading at the moment `now`.

    `instruments_used` and `batches_used` are ids that the repair's latest inspections used.
    `untrusted` are ids of instruments that can't be trusted now.
    `begins_anew` is True where the person asked for a new series, though no verdict does.
    """

    progress: StepProgress
    units: str
    zone: ZoneInfo
    now: datetime
    instruments: Sequence[Instrument] = ()
    batches: Sequence[Batch] = ()
    applicators: Sequence[Qualification] = ()
    untrusted: frozenset[int] = frozenset()
    instruments_used: frozenset[int] = frozenset()
    batches_used: frozenset[int] = frozenset()
    begins_anew: bool = False

    @property
    def opens_series(self) -> bool:
        """Whether what is entered opens a new series, and says what was done before it."""
        return self.progress.opens_new_series or self.begins_anew

    @property
    def step(self) -> PlanStep:
        """The step of the plan."""
        return self.progress.step

    @property
    def setting(self) -> Setting:
        """What its readings are entered under."""
        return Setting(
            units=self.units,
            zone=self.zone,
            criteria_fields=self.step.checks.criteria,
            criteria=self.step.criteria,
        )

    @property
    def fields(self) -> tuple[Field, ...]:
        """The reading's fields; one that names a line of the criteria chooses among those lines."""
        return tuple(_as_choice(field, self.step) for field in self.step.checks.reading)

    def _asked(self, setting: Setting) -> dict[str, bool]:
        """By name, whether a field matters for the criteria; a line of a checklist has its own."""
        asked = {**setting.criteria, **self._typed_criteria}
        return {field.name: field.matters_for(asked) for field in self.fields}

    @cached_property
    def _typed_criteria(self) -> Mapping[str, Any]:
        typed = self.step.typed_criteria()
        return {name: typed.get(name) for name in typed}

    @property
    def standing(self) -> Sequence[Mapping[str, Any]]:
        """The readings that will be judged together with what is entered now."""
        if self.opens_series:
            return ()
        return [reading.values for reading in self.progress.standing_readings]

    @property
    def entered_before(self) -> frozenset[str]:
        """The names of fields that the latest inspection of the step filled in."""
        latest = self.progress.latest
        readings = latest.readings.all() if latest else ()
        return frozenset(name for reading in readings for name in reading.values)

    def setting_of(self, row: Row) -> Setting:
        """What one row is entered under: a line of a checklist may have limits of its own."""
        checklist = checklist_of(self.step)
        if checklist is None:
            return self.setting
        group, name = checklist
        line = next(x for x in self.step.criteria[group.name] if x[name] == row.fixed[name])
        return replace(self.setting, criteria_fields=group.fields, criteria=line)

    def rows(self, count: int | None = None, group_lines: int = 2) -> tuple[Row, ...]:
        """The rows to enter: what is left of a checklist, else `count`, else what sampling asks."""
        if checklist_of(self.step) is not None:
            return self.checklist_rows(skip=self.standing)
        wanted = max(1, self.step.rows - len(self.standing)) if count is None else count
        is_asked = self._asked(self.setting)
        return tuple(
            Row(
                number=number,
                fields=self.fields,
                group_lines=group_lines,
                is_asked=is_asked,
                title=f"Reading {number}" if wanted > 1 else "",
            )
            for number in range(1, wanted + 1)
        )

    def rows_to_correct(self, wrong: Inspection, group_lines: int = 2) -> tuple[Row, ...]:
        """The rows of an inspection: as many as it has readings, or the whole checklist."""
        if checklist_of(self.step) is not None:
            return self.checklist_rows()
        return self.rows(wrong.readings.count(), group_lines)

    def checklist_rows(self, skip: Sequence[Mapping[str, Any]] = ()) -> tuple[Row, ...]:
        """A row for each line of the checklist that `skip` does not answer."""
        return tuple(self._checklist_rows({_plain(_item_of(self.step, given)) for given in skip}))

    def _checklist_rows(self, answered: set[str]) -> Iterator[Row]:
        checklist = checklist_of(self.step)
        if checklist is None:
            return
        group, name = checklist
        others = tuple(field for field in self.step.checks.reading if field.name != name)
        for number, line in enumerate(self.step.criteria[group.name], start=1):
            if _plain(line[name]) in answered:
                continue
            setting = replace(self.setting, criteria_fields=group.fields, criteria=line)
            yield Row(
                is_asked=self._asked(setting),
                number=number,
                fields=others,
                fixed={name: line[name]},
                title=line[name],
                asked=self._asked_text(group, line),
                source=line.get("source") or self.step.sources.get(group.name, ""),
            )

    def _asked_text(self, group: Field, line: Mapping[str, Any]) -> str:
        """What a line asks, in words: its text, and its limits."""
        parts = []
        for member in group.fields[1:]:
            said = value_text(member, line.get(member.name), self.zone)
            if said and member.name != "source":
                is_text = member.kind is Kind.TEXT
                parts.append(said if is_text else f"{member.label}: {said}")
        return "; ".join(parts)


def work_on(
    hand: RepairInHand, progress: StepProgress, now: datetime, *, begins_anew: bool = False
) -> Work:
    """The step as it is found at `now`, with the project's instruments and batches."""
    instruments = Instrument.objects.filter(project=hand.repair.project_id)
    batches = Batch.objects.filter(project=hand.repair.project_id).select_related("recall")
    held = list(instruments.prefetch_related("calibrations"))
    inspections = [i for p in hand.progress for i in p.inspections if p is progress]
    others = [i for p in hand.progress for i in p.inspections if p is not progress]
    return Work(
        begins_anew=begins_anew,
        progress=progress,
        units=hand.repair.units,
        zone=hand.zone,
        now=now,
        instruments=held,
        untrusted=_untrusted(held, now),
        applicators=_applicators(hand, progress),
        batches=list(batches) if progress.step.needs_batch else [],
        instruments_used=_last_used(inspections) or _last_used(others),
        batches_used=frozenset(
            use.batch_id for i in inspections[-1:] for use in i.batch_uses.all()
        ),
    )


def _untrusted(instruments: Sequence[Instrument], now: datetime) -> frozenset[int]:
    spans = spans_by_instrument([instrument.pk for instrument in instruments])
    return frozenset(pk for pk, bad in spans.items() if any(span.covers(now) for span in bad))


def _applicators(hand: RepairInHand, progress: StepProgress) -> list[Qualification]:
    """The applicators of the project, where the step asks for any."""
    if "applicator" not in progress.step.qualifications:
        return []
    return list(Qualification.objects.filter(project=hand.repair.project_id, trade="applicator"))


def _last_used(inspections: Sequence[Inspection]) -> frozenset[int]:
    """The instruments of the latest inspection that names any."""
    latest_first = sorted(inspections, key=lambda i: i.pk, reverse=True)
    uses = (frozenset(u.instrument_id for u in i.instrument_uses.all()) for i in latest_first)
    return next((used for used in uses if used), frozenset())


def checklist_of(step: PlanStep) -> tuple[Field, str] | None:
    """The group of criteria whose lines are answered one by one, and the field that names a line.

    That is where a reading must say, by a text of the same name, which line it answers.
    """
    for group in _groups(step):
        names = {member.name for member in group.fields}
        for field in step.checks.reading:
            if field.kind is Kind.TEXT and field.required and field.name in names:
                return group, field.name
    return None


def _groups(step: PlanStep) -> list[Field]:
    return [
        field
        for field in step.checks.criteria
        if field.kind is Kind.GROUP and step.criteria.get(field.name)
    ]


def _as_choice(field: Field, step: PlanStep) -> Field:
    if field.kind is not Kind.TEXT:
        return field
    for group in _groups(step):
        lines = [line[field.name] for line in step.criteria[group.name] if line.get(field.name)]
        if lines:
            return replace(
                field,
                kind=Kind.CHOICE,
                choices=tuple(lines),
                labels=dict(zip(lines, lines, strict=True)),
            )
    return field


def _item_of(step: PlanStep, reading: Mapping[str, Any]) -> str:
    checklist = checklist_of(step)
    return str(reading.get(checklist[1], "")) if checklist else ""


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
