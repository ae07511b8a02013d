"""The form in which readings are entered: generated from what the characteristic declares."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Self

from django import forms
from django.http import QueryDict

from qc.engine.fields import Field, Kind
from qc.engine.wording import moment_text
from qc.web.forms.act import ActForm
from qc.web.forms.boxes import Boxes
from qc.web.forms.entries import Entry, MomentEntry
from qc.web.forms.means import add_means
from qc.web.forms.rows import TAKEN_AT, Row
from qc.web.forms.texts import remarks_field, rework_field
from qc.web.forms.work import Work
from qc.workflow import Observation

MOST_ROWS = 200
ROOM = 3
"""How many rows or boxes are added when more are asked for."""

LABELS_NAMED = 3
"""How many folded fields the line that unfolds them names."""


def _listed(fields: Sequence[forms.BoundField]) -> str:
    """The labels of fields, the first few of many: "wet bulb, air pressure and 9 more"."""
    labels = [str(field.label)[:1].lower() + str(field.label)[1:] for field in fields]
    if len(labels) > LABELS_NAMED + 1:
        labels[LABELS_NAMED:] = [f"{len(labels) - LABELS_NAMED} more"]
    return " and ".join(part for part in (", ".join(labels[:-1]), labels[-1]) if part)


def _holds_something(field: forms.BoundField) -> bool:
    value = field.value()
    return bool(field.errors or (any(value) if isinstance(value, list) else value))


@dataclass(frozen=True, kw_only=True)
class RowShown:
    """A row as the page draws it: what is asked first, and what is folded away."""

    row: Row
    first: Sequence[forms.BoundField]
    more: Sequence[forms.BoundField]

    @property
    def is_open(self) -> bool:
        """True where the folded part holds an error or something entered."""
        return any(_holds_something(field) for field in self.more)

    @property
    def more_labels(self) -> str:
        """What is folded away, in words."""
        return _listed(self.more)


class ObservationForm(ActForm):
    """Readings of one step, when and with what they were taken.

    Every field of the reading that the criteria need comes first, and so does what was entered
    last time; the rest is folded. Rows left empty are no readings.
    """

    row_count = forms.IntegerField(widget=forms.HiddenInput, required=False)
    group_lines = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(
        self,
        work: Work,
        rows: Sequence[Row],
        data: QueryDict | None = None,
        initial: Mapping[str, Any] | None = None,
    ) -> None:
        super().__init__(data, initial=dict(initial or {}))
        self.work = work
        self.rows = rows
        self.fields["row_count"].initial = len(rows)
        self.fields["group_lines"].initial = rows[0].group_lines if rows else 0
        self._taken_at = any(field.name == TAKEN_AT for field in work.fields)
        if work.opens_series:
            self.fields["rework"] = rework_field(work.begins_anew)
        for row in rows:
            self.fields.update(row.entries(work.setting_of(row)))
        self._add_moment()
        add_means(self, work)
        self.fields["remarks"] = remarks_field()

    @classmethod
    def for_entry(cls, work: Work, data: QueryDict | None = None) -> "ObservationForm":
        """The form for the next readings of a step."""
        count, group_lines = sizes_of(data)
        rows = work.rows(count, group_lines)
        if data is not None and rows and rows[0].fixed:
            # What was sent stays, even where the same line has been answered meanwhile.
            rows = tuple(r for r in work.checklist_rows() if r in rows or _is_sent(r, data))
        return cls(work, rows, data)

    def roomier(self, data: QueryDict) -> Self:
        """The same form with more rows, or lines and boxes in them, and all that was typed."""
        typed = {
            name: field.widget.value_from_datadict(data, {}, name)
            for name, field in self.fields.items()
        }
        count, group_lines = sizes_of(data)
        sizes = {"row_count": min((count or 1) + ROOM, MOST_ROWS), "group_lines": group_lines + 1}
        rows = self.work.rows(*sizes.values()) if not self.is_checklist else self.rows
        made = type(self)(self.work, rows, initial={**typed, **sizes})
        for name, field in made.fields.items():
            if isinstance(field.widget, Boxes):
                field.widget.make_room(typed.get(name) or (), ROOM)
        return made

    @property
    def is_checklist(self) -> bool:
        """Whether the rows are lines of the plan, of which there are as many as there are."""
        return any(row.fixed for row in self.rows)

    def _add_moment(self) -> None:
        now = self.work.now.astimezone(self.work.zone).replace(tzinfo=None)
        if not self._taken_at:
            field = Field(name="observed_at", label="Observed at", kind=Kind.MOMENT, required=True)
            self.fields["observed_at"] = MomentEntry(field, self.work.setting)
            self.fields["observed_at"].initial = now
        elif self.rows:
            self.fields[f"{self.rows[0].prefix}-{TAKEN_AT}"].initial = now
        for row in self.rows if self._taken_at else ():
            self.fields[f"{row.prefix}-{TAKEN_AT}"].required = True

    def clean(self) -> dict[str, Any]:
        """Readings from the rows in use; what they lack is an error beside the field."""
        super().clean()
        used = [row for row in self.rows if self._in_use(row)]
        if not used and not self.errors:
            self.add_error(None, "Nothing has been entered: enter at least one reading.")
        for row in used:
            for name in self._lacking(row):
                label = self.fields[name].label
                self.add_error(name, f"{label} is missing: enter it, or clear the entire reading.")
        self._refuse_the_future()
        return self.cleaned_data

    def _in_use(self, row: Row) -> bool:
        """A row holds a reading where anything was entered but the time that stood there."""
        if any(line.name in self.errors for line in row.lines):
            return True
        entered = row.gathered(self.cleaned_data)
        stood_there = row is self.rows[0] and self._taken_at
        return bool(set(entered) - set(row.fixed) - ({TAKEN_AT} if stood_there else set()))

    def _lacking(self, row: Row) -> Iterator[str]:
        taken_at = f"{row.prefix}-{TAKEN_AT}"
        names = row.lacking(self.cleaned_data)
        if self._taken_at and not self.cleaned_data.get(taken_at):
            names = [taken_at, *(name for name in names if name != taken_at)]
        return (name for name in names if name not in self.errors)

    def _refuse_the_future(self) -> None:
        names = [f"{row.prefix}-{TAKEN_AT}" for row in self.rows] if self._taken_at else []
        for name in names or ["observed_at"]:
            moment = self.cleaned_data.get(name)
            if moment and datetime.fromisoformat(moment) > self.work.now:
                said = moment_text(datetime.fromisoformat(moment), self.work.zone)
                now = moment_text(self.work.now, self.work.zone)
                self.add_error(name, f"{said} lies ahead: at the site it is {now}.")

    def said(self) -> dict[str, Any]:
        """The observation, as the acts take it."""
        return {"observation": self._observation()}

    def _observation(self) -> Observation:
        used = [row for row in self.rows if self._in_use(row)]
        readings = [row.gathered(self.cleaned_data) for row in used]
        typed = self._typed()
        return Observation(
            readings=readings,
            as_typed=[row.gathered(typed) for row in used],
            observed_at=self._observed_at(readings),
            instruments=self._chosen("instruments", "other_instruments"),
            batches=self._chosen("batches"),
            applicators=self._chosen("applicators"),
            remarks=self.cleaned_data["remarks"],
            rework=self.cleaned_data.get("rework", ""),
            new_series=self.work.begins_anew,
        )

    def _typed(self) -> dict[str, Any]:
        """What was entered, letter by letter, by name of the form field."""
        return {
            name: field.typed(self[name].data)
            for name, field in self.fields.items()
            if isinstance(field, Entry) and not field.is_blank(self[name].data)
        }

    def _observed_at(self, readings: Sequence[Mapping[str, Any]]) -> datetime:
        if not self._taken_at:
            return datetime.fromisoformat(self.cleaned_data["observed_at"])
        return max(datetime.fromisoformat(reading[TAKEN_AT]) for reading in readings)

    def _chosen(self, *names: str) -> list[int]:
        return [chosen for name in names for chosen in self.cleaned_data.get(name, ())]

    @property
    def rows_shown(self) -> list[RowShown]:
        """The rows as the page draws them."""
        return [self._shown(row) for row in self.rows]

    def _shown(self, row: Row) -> RowShown:
        # Of several readings each would show what one of the last inspection held.
        before = self.work.entered_before if len(self.rows) == 1 else frozenset()
        first: list[forms.BoundField] = []
        more: list[forms.BoundField] = []
        for declared in row.fields:
            is_first = row.is_asked.get(declared.name) or declared.name in before
            (first if is_first else more).extend(self[name] for name in row.names_of(declared))
        return RowShown(row=row, first=first, more=more)

    @property
    def means(self) -> list[forms.BoundField]:
        """Moment, instruments and batches: what is asked once for all readings."""
        names = ("observed_at", "instruments", "batches", "applicators")
        return [self[name] for name in names if self._is_needed(name)]

    @property
    def more(self) -> list[forms.BoundField]:
        """What is folded away below the readings."""
        names = ("instruments", "other_instruments", "remarks")
        shown = [name for name in names if name in self.fields and not self._is_needed(name)]
        return [self[name] for name in shown]

    def _is_needed(self, name: str) -> bool:
        return name in self.fields and self.fields[name].required

    @property
    def more_labels(self) -> str:
        """What is folded away below the readings, in words."""
        return _listed(self.more)

    @property
    def rework_bound(self) -> forms.BoundField | None:
        """What was done since a verdict that does not conform, where that is asked."""
        return self["rework"] if "rework" in self.fields else None

    @property
    def lacks(self) -> list[dict[str, str]]:
        """The registers that hold nothing of what the step asks for."""
        registers = {
            "instruments": ("instruments", "Enter an instrument"),
            "batches": ("batches", "Enter a batch"),
            "applicators": ("people", "Enter an applicator"),
        }
        return [
            {"name": page, "label": label}
            for name, (page, label) in registers.items()
            if name in self.fields and not self.fields[name].choices  # type: ignore[attr-defined]
        ]

    @property
    def templates(self) -> list[str]:
        """The template that draws the readings: the characteristic's own, else the usual one."""
        key = self.work.step.characteristic
        return [f"qc/readings/{key}.html", "qc/readings/_default.html"]

    @property
    def more_is_open(self) -> bool:
        """True where the folded part holds an error or something entered."""
        return any(_holds_something(field) for field in self.more)


def _is_sent(row: Row, data: QueryDict) -> bool:
    return any(data.get(line.name) for line in row.lines)


def sizes_of(data: QueryDict | None) -> tuple[int | None, int]:
    """How many rows, and lines in a group, a form was sent with; (None, 2) for a new one."""
    if data is None:
        return None, 2
    return _size(data.get("row_count"), 1), _size(data.get("group_lines"), 2)


def _size(sent: str | None, least: int) -> int:
    return min(max(int(sent), least), MOST_ROWS) if sent and sent.isdecimal() else least
