"""The series of a step: readings judged together, with what the engine found in them."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from qc.certificate.entries import Entry, means_of
from qc.certificate.grid import Grid, grid_of, parted
from qc.certificate.site import Site
from qc.engine.characteristic import Characteristic
from qc.engine.rules.verdict import WORST_FIRST
from qc.engine.wording import results_of, sheet_of

Inspection = Mapping[str, Any]


@dataclass(frozen=True)
class Found:
    """A finding: its outcome, what it says, and against which limit from where."""

    outcome: str
    rule: str
    statement: str
    observed: str
    limit: str
    source: str


@dataclass(frozen=True)
class Corrected:
    """An entry that a later one corrects: its readings, which no longer count, and the reason."""

    entry: Entry
    by: Entry
    grids: tuple[Grid, ...]


@dataclass(frozen=True)
class Series:
    """Readings judged as one. A series after the first follows a rework, or a revised plan.

    `older_plan` is the revision under which it was judged, where the step has other content now.
    `grids` hold the readings that count, in several tables where they are of several kinds, and
    `results` (label, value) what they come to as a whole.
    """

    number: int
    rework: str
    outcome: str
    is_final: bool
    grids: tuple[Grid, ...]
    results: tuple[tuple[str, str], ...]
    findings: tuple[Found, ...]
    flags: tuple[str, ...]
    entries: tuple[Entry, ...]
    means: tuple[str, ...]
    corrected: tuple[Corrected, ...]
    older_plan: int | None = None

    @property
    def only_entry(self) -> Entry | None:
        """The entry, where there is one and nothing is remarkable about it."""
        plain = len(self.entries) == 1 and not self.entries[0].is_late
        return self.entries[0] if plain else None


@dataclass(frozen=True)
class Reader:
    """What it takes to print the readings of one step."""

    step: Mapping[str, Any]
    characteristic: Characteristic
    site: Site
    entries: Mapping[int, Entry]

    def series(self) -> tuple[Series, ...]:
        """The series of the step, first to last."""
        numbers = sorted({one["series"] for one in self.step["inspections"]})
        return tuple(self._series(number, number == numbers[-1]) for number in numbers)

    def _series(self, number: int, is_final: bool) -> Series:
        inspections = [one for one in self.step["inspections"] if one["series"] == number]
        last = inspections[-1]
        verdict = last["verdict"]
        return Series(
            number=number,
            rework=next((one["rework"] for one in inspections if one["rework"]), ""),
            outcome=verdict["outcome"],
            is_final=is_final,
            grids=tuple(self._grids(judged_by(inspections, last), verdict)),
            results=self._results(last),
            findings=tuple(findings_of(verdict, self.site)),
            flags=tuple(self.site.said(flag) for flag in verdict["flags"]),
            entries=tuple(self.entries[one["id"]] for one in inspections),
            means=tuple(means_of(inspections, self.entries)),
            corrected=tuple(self._corrected(inspections)),
            older_plan=None if last.get("counts", True) else last["plan_revision"],
        )

    def _grids(
        self, inspections: Sequence[Inspection], verdict: Mapping[str, Any]
    ) -> Iterator[Grid]:
        readings = [reading for one in inspections for reading in one["readings"]]
        outcomes = [one["verdict"]["outcome"] for one in inspections for _ in one["readings"]]
        sheet = sheet_of(
            self.characteristic,
            readings,
            verdict,
            self._criteria(inspections[-1]),
            units=self.site.units,
            zone=self.site.zone,
        )
        kind = self.characteristic
        keys = [kind_of_reading(kind, reading) for reading in readings]
        for places, part in parted(sheet, keys):
            came = [outcomes[place] for place in places]
            numbers = [place + 1 for place in places]
            yield grid_of(part, came, kind.columns, kind.spread_over_work, numbers)

    def _criteria(self, inspection: Inspection) -> Mapping[str, Any]:
        """The criteria that judged it: the step's, or those of the older plan it was made under."""
        criteria: Mapping[str, Any] = inspection.get("criteria", self.step["criteria"])
        return criteria

    def _results(self, inspection: Inspection) -> tuple[tuple[str, str], ...]:
        results = results_of(
            self.characteristic,
            inspection["verdict"],
            self._criteria(inspection),
            units=self.site.units,
            zone=self.site.zone,
        )
        return tuple((label, self.site.said(text)) for label, text in results)

    def _corrected(self, inspections: Sequence[Inspection]) -> Iterator[Corrected]:
        by = {one["corrects"]: one["id"] for one in self.step["inspections"]}
        for one in inspections:
            if one["is_corrected"]:
                yield Corrected(
                    entry=self.entries[one["id"]],
                    by=self.entries[by[one["id"]]],
                    grids=tuple(self._grids([one], one["verdict"])),
                )


def kind_of_reading(characteristic: Characteristic, reading: Mapping[str, Any]) -> str:
    """What the reading is of, where fields belong to one choice of it only; "" where none do."""
    names = {f.only_where.partition("=")[0] for f in characteristic.reading if f.only_where}
    return " ".join(str(reading.get(name, "")) for name in sorted(names))


def judged_by(inspections: Sequence[Inspection], last: Inspection) -> list[Inspection]:
    """The inspections of a series whose readings the verdict of its last one judges, in its order.

    Those that stand, as they were observed; then the last, whose verdict it is.
    """
    earlier = [one for one in inspections if one is not last and not one["is_corrected"]]
    return [*sorted(earlier, key=lambda one: (one["observed_at"], one["id"])), last]


def findings_of(verdict: Mapping[str, Any], site: Site) -> Iterator[Found]:
    """The findings of a verdict in words, worst first."""
    worst_first = [str(outcome) for outcome in WORST_FIRST]
    for finding in sorted(verdict["findings"], key=lambda f: worst_first.index(f["outcome"])):
        texts = ("statement", "observed", "limit", "source")
        said = {name: site.said(finding[name]) for name in texts}
        yield Found(outcome=finding["outcome"], rule=finding["rule"], **said)
