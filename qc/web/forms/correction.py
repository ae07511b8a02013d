"""The form in which an inspection is corrected: that of a reading, filled in, with the reason."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django.http import QueryDict

from qc.records.models import Inspection
from qc.web.forms.entries import Entry
from qc.web.forms.observation import ObservationForm, sizes_of
from qc.web.forms.rows import Row
from qc.web.forms.texts import reason_field
from qc.web.forms.work import Work


class CorrectionForm(ObservationForm):
    """What an earlier inspection should have said, and why."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields.pop("rework", None)
        self.fields["reason"] = reason_field()

    @classmethod
    def of(cls, work: Work, wrong: Inspection, data: QueryDict | None = None) -> "CorrectionForm":
        """The form to correct `wrong`, filled with what it says."""
        longest = _longest_group(wrong)
        count, group_lines = sizes_of(data)
        rows = work.rows_to_correct(wrong, max(group_lines, longest + 1))
        if count is not None and not any(row.fixed for row in rows):
            rows = work.rows(count, max(group_lines, longest + 1))
        form = cls(work, rows, data)
        form.fill(wrong)
        return form

    def said(self) -> dict[str, Any]:
        """The observation and the reason."""
        return {**super().said(), "reason": self.cleaned_data["reason"]}

    def fill(self, wrong: Inspection) -> None:
        """Start from what the inspection says."""
        entries = {n: f for n, f in self.fields.items() if isinstance(f, Entry)}
        readings = [reading.values for reading in wrong.readings.all()]
        for row, reading in _matched(self.rows, readings):
            for name, entered in row.entered(reading, entries).items():
                self.fields[name].initial = entered
        self.fields["remarks"].initial = wrong.remarks
        if "observed_at" in entries:
            entered = entries["observed_at"].entered(wrong.observed_at.isoformat())
            self.fields["observed_at"].initial = entered


def _matched(
    rows: Sequence[Row], readings: Sequence[Mapping[str, Any]]
) -> Iterator[tuple[Row, Mapping[str, Any]]]:
    """Rows with the reading each starts from: by what the plan fixes, else in their order."""
    for index, row in enumerate(rows):
        if row.fixed:
            found = [r for r in readings if all(r.get(k) == v for k, v in row.fixed.items())]
            yield from ((row, reading) for reading in found[:1])
        elif index < len(readings):
            yield row, readings[index]


def _longest_group(inspection: Inspection) -> int:
    values = [v for reading in inspection.readings.all() for v in reading.values.values()]
    return max(
        (len(v) for v in values if isinstance(v, list) and isinstance(v[0], dict)), default=1
    )
