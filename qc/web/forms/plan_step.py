"""Everything of a step but its limits: what is done, who is there, what is asked, and when."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.text import slugify

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.plan import Intervention, Party
from qc.records.models import PlanStep
from qc.records.plan_checks import MOST_ROWS, TRADES, problems_of
from qc.records.plan_edits import Steps, free_key, place_of, replaced
from qc.records.templates import StepTemplate
from qc.web.forms.edition import EditionForm
from qc.web.forms.instruments import instrument_kinds
from qc.web.forms.lines import line, paragraph
from qc.web.forms.step_fields import DurationField, LinesField
from qc.web.templatetags.parts import printed

SPARE_EVIDENCE, SPARE_WINDOWS = 2, 1
"""How many empty rows are offered beside those in use."""

KINDS = [("photograph", "Photograph"), ("document", "Document")]


class StepForm(EditionForm):
    """A step of the marked-up copy, but for its limits."""

    title = line("Title", PlanStep, "title", missing="Give the step a title.")
    activity = paragraph(
        "Activity", PlanStep, "activity", missing="Say what is done and checked at the step."
    )
    reference = line("Reference document", PlanStep, "reference", required=False)
    sampling = line(
        "Sampling", PlanStep, "sampling", missing="Say where and how often it is checked."
    )
    rows = forms.IntegerField(
        label="Readings an entry page offers",
        min_value=1,
        max_value=MOST_ROWS,
        widget=forms.TextInput({"inputmode": "numeric"}),
        error_messages={
            "required": "Say how many readings an entry page offers, 1 or more.",
            "invalid": "Type a whole number such as 5.",
            "min_value": "At least 1 reading.",
            "max_value": f"At most {MOST_ROWS} readings.",
        },
    )
    cautions = LinesField(label="Cautions of this step", required=False, help_text="One a line")

    def __init__(self, steps: Steps, key: str, edition: int, data: QueryDict | None = None) -> None:
        super().__init__(edition, data)
        self.steps, self.step = steps, steps[place_of(steps, key)]
        self.earlier = [(s.key, f"{n} {s.title}") for n, s in enumerate(self._before(), start=1)]
        for name in ("title", "activity", "reference", "sampling", "rows", "cautions"):
            self.fields[name].initial = getattr(self.step, name)
        self._add_points()
        self._add_means()
        self._add_evidence()
        self._add_order()
        self._add_qualifications()
        self.judge_live()

    def _before(self) -> Sequence[StepTemplate]:
        return self.steps[: place_of(self.steps, self.step.key)]

    def _add_points(self) -> None:
        codes = [("", "No point"), *((str(code), code.capitalize()) for code in Intervention)]
        for party in Party:
            self.fields[f"p-{party}"] = forms.ChoiceField(
                label=party.capitalize(),
                choices=codes,
                required=False,
                initial=self.step.points.get(party, ""),
                error_messages={"invalid_choice": "%(value)s is no intervention of a party."},
            )

    def _add_means(self) -> None:
        usual = {
            *CHARACTERISTICS[self.step.characteristic].instruments,
            *self.step.instrument_kinds,
        }
        kinds = instrument_kinds()
        first = [
            kind for kind in kinds if kind[0] in usual or kind[0] in self.step.instrument_kinds
        ]
        self.fields["instrument_kinds"] = forms.MultipleChoiceField(
            label="Instruments, one of which is named with each reading",
            choices=first or kinds,
            required=False,
            widget=forms.CheckboxSelectMultiple,
            initial=list(self.step.instrument_kinds),
            error_messages={"invalid_choice": "%(value)s is no kind of instrument."},
        )
        self.fields["needs_batch"] = forms.BooleanField(
            label="The batch of the material is named with each reading",
            required=False,
            initial=self.step.needs_batch,
        )

    def _add_evidence(self) -> None:
        for number in range(len(self.step.evidence) + SPARE_EVIDENCE):
            item = self.step.evidence[number] if number < len(self.step.evidence) else {}
            self.fields[f"e-{number}-label"] = forms.CharField(
                label=f"Evidence {number + 1}",
                required=False,
                max_length=120,
                initial=item.get("label", ""),
            )
            self.fields[f"e-{number}-kind"] = forms.ChoiceField(
                label=f"Kind of evidence {number + 1}",
                choices=KINDS,
                required=False,
                initial=item.get("kind", KINDS[0][0]),
            )

    def _add_order(self) -> None:
        named = {*self.step.prerequisites, *(w["after"] for w in self.step.windows)}
        titles = {step.key: step.title for step in self.steps}
        later = named - {key for key, _ in self.earlier}
        others = [(k, f"{titles.get(k, k)}: not before this step") for k in sorted(later)]
        self.fields["prerequisites"] = forms.MultipleChoiceField(
            label="Rests on",
            choices=[*self.earlier, *others],
            required=False,
            widget=forms.CheckboxSelectMultiple,
            initial=list(self.step.prerequisites),
            help_text="Steps that must conform before this one",
            error_messages={"invalid_choice": "The plan has no step %(value)s."},
        )
        for number in range(len(self.step.windows) + SPARE_WINDOWS):
            window = self.step.windows[number] if number < len(self.step.windows) else {}
            self._add_window(number, window, [*self.earlier, *others])

    def _add_window(self, number: int, window: Any, steps: Sequence[tuple[str, str]]) -> None:
        name, which = f"w-{number}", f"window {number + 1}"
        self.fields[f"{name}-after"] = forms.ChoiceField(
            label=f"Time from, {which}",
            choices=[("", "No window"), *steps],
            required=False,
            initial=window.get("after", ""),
            error_messages={"invalid_choice": "The plan has no step %(value)s."},
        )
        for bound, label in (("least", "No sooner than"), ("most", "No later than")):
            self.fields[f"{name}-{bound}"] = DurationField(
                label=f"{label}, {which}", required=False, initial=window.get(bound, "")
            )
        self.fields[f"{name}-source"] = forms.CharField(
            label=f"Source, {which}",
            required=False,
            max_length=300,
            initial=window.get("source", ""),
        )

    def _add_qualifications(self) -> None:
        for trade in TRADES:
            self.fields[f"q-{trade}"] = LinesField(
                label=f"The {trade} is qualified for",
                required=False,
                help_text="One scope a line, as in the register of qualifications",
                initial=self.step.qualifications.get(trade, ()),
            )

    def clean(self) -> dict[str, Any]:
        """The checks of the plan as a whole, each at the field that it names."""
        super().clean()
        if self.errors:
            return self.cleaned_data
        made = self.made()
        at = place_of(self.steps, self.step.key) + 1
        for problem in problems_of(replaced(self.steps, made)):
            elsewhere = problem.path.partition(".")[0] in ("criteria", "sources")
            if problem.position == at and not elsewhere:
                said = printed(problem.problem[:1].upper() + problem.problem[1:])
                self.add_error(self._named_by(problem.path), f"{said}.")
        return self.cleaned_data

    def _named_by(self, path: str) -> str | None:
        """The field for a path such as windows[0].most; rows left empty are no members."""
        found = re.match(r"(\w+)(?:\[(\d+)\])?(?:\.(\w+))?", path)
        if found is None:
            return None
        name, number, part = found[1], int(found[2] or 0), found[3] or ""
        rows = {"windows": ("w", self._window_rows), "evidence": ("e", self._evidence_rows)}
        if name in rows and found[2]:
            letter, used = rows[name]
            name = f"{letter}-{list(used())[number]}-{'label' if part == 'key' else part}"
        elif name in ("points", "qualifications"):
            name = f"{name[0]}-{part}"
        return name if name in self.fields else None

    def made(self) -> StepTemplate:
        """The step as the form says."""
        said = self.cleaned_data
        texts = ("title", "activity", "reference", "sampling", "rows", "cautions", "needs_batch")
        return replace(
            self.step,
            **{name: said[name] for name in texts},
            instrument_kinds=tuple(said["instrument_kinds"]),
            points={str(p): said[f"p-{p}"] for p in Party if said[f"p-{p}"]},
            evidence=tuple(self._evidence()),
            prerequisites=tuple(said["prerequisites"]),
            windows=tuple(self._window(row) for row in self._window_rows()),
            qualifications={t: said[f"q-{t}"] for t in TRADES if said[f"q-{t}"]},
        )

    def _window_rows(self) -> Iterator[int]:
        for number in range(len(self.step.windows) + SPARE_WINDOWS):
            parts = ("after", "least", "most", "source")
            if any(self.cleaned_data.get(f"w-{number}-{part}") for part in parts):
                yield number

    def _window(self, row: int) -> dict[str, str]:
        given = {p: self.cleaned_data[f"w-{row}-{p}"] for p in ("after", "least", "most", "source")}
        return {part: text for part, text in given.items() if text}

    def _evidence_rows(self) -> Iterator[int]:
        for number in range(len(self.step.evidence) + SPARE_EVIDENCE):
            if self.cleaned_data.get(f"e-{number}-label"):
                yield number

    def _evidence(self) -> Iterator[dict[str, str]]:
        """What is asked; an item on record keeps its key, and with it the files that answer it."""
        taken = [item["key"] for item in self.step.evidence]
        for number in self._evidence_rows():
            label, kind = (self.cleaned_data[f"e-{number}-{p}"] for p in ("label", "kind"))
            if number < len(self.step.evidence):
                key = self.step.evidence[number]["key"]
            else:
                key = free_key(slugify(label)[:40] or "evidence", taken)
                taken.append(key)
            yield {"key": key, "label": label, "kind": kind or KINDS[0][0]}

    @property
    def windows(self) -> list[list[forms.BoundField]]:
        """The fields of each window."""
        parts = ("after", "least", "most", "source")
        return [
            [self[f"w-{number}-{part}"] for part in parts]
            for number in range(len(self.step.windows) + SPARE_WINDOWS)
        ]

    @property
    def wanted(self) -> list[list[forms.BoundField]]:
        """The fields of each piece of evidence."""
        return [
            [self[f"e-{number}-label"], self[f"e-{number}-kind"]]
            for number in range(len(self.step.evidence) + SPARE_EVIDENCE)
        ]

    @property
    def points(self) -> list[forms.BoundField]:
        """The point of each party."""
        return [self[f"p-{party}"] for party in Party]

    @property
    def qualified(self) -> list[forms.BoundField]:
        """What the people of each trade are qualified for."""
        return [self[f"q-{trade}"] for trade in TRADES]
