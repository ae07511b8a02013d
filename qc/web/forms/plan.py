"""Agreeing a plan, and changing the limits of a step in its marked-up copy."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.http import QueryDict
from django.utils.html import format_html

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import Field, InvalidValue
from qc.records.models import DataSheet
from qc.records.templates import StepTemplate, check_step
from qc.web.forms.act import ActForm
from qc.web.forms.criteria import LinesEntry, criterion_entry
from qc.web.forms.edition import EditionForm
from qc.web.forms.entries import Setting
from qc.web.forms.offers import EVERY_OFFER, Offer, offers_of, taken_over
from qc.web.templatetags.parts import printed


class AgreeForm(ActForm):
    """The revision that the client has read."""

    seen_revision = forms.IntegerField(widget=forms.HiddenInput)

    def show(self, revision: int) -> None:
        """Carry the revision that the page shows now, also where another was sent."""
        self.fields["seen_revision"].initial = revision
        if self.is_bound:
            self.data: Any = self.data.copy()
            self.data["seen_revision"] = str(revision)


@dataclass(frozen=True)
class CriterionShown:
    """A criterion as the page draws it: its limit, where it comes from, and what is offered."""

    name: str
    limit: forms.BoundField
    source: forms.BoundField
    offers: list[Offer]

    @property
    def is_wide(self) -> bool:
        """Whether the limit is written in rows and wants the page's entire width."""
        return isinstance(self.limit.field, LinesEntry)


class SourceField(forms.CharField):
    """Where a limit comes from. Whether it may be empty is the engine's to say."""

    def validate(self, value: Any) -> None:
        pass


class CriteriaForm(EditionForm):
    """The limits of one step of the marked-up copy, each with its source."""

    def __init__(
        self,
        step: StepTemplate,
        edition: int,
        units: str,
        zone: ZoneInfo,
        sheets: Sequence[DataSheet] = (),
        data: QueryDict | None = None,
    ) -> None:
        super().__init__(edition, data)
        self.step, self.checks, self.sheets = step, CHARACTERISTICS[step.characteristic], sheets
        self.offers: dict[str, list[Offer]] = {}
        self.taken: list[str] = []
        for criterion in self.checks.criteria:
            self._add(criterion, units, zone)
        self.judge_live()

    def _add(self, criterion: Field, units: str, zone: ZoneInfo) -> None:
        stated = self.step.criteria.get(criterion.name)
        setting = Setting(
            units=units,
            zone=zone,
            # Its own unit, else that of another limit of its kind, else the project's.
            criteria_fields=(criterion, *self.checks.criteria),
            criteria=self.step.criteria,
        )
        entry = criterion_entry(criterion, setting)
        if stated not in (None, "", []):
            entry.initial = entry.entered(stated)
        if offers := offers_of(criterion, entry, self.step, self.sheets, zone):
            self.offers[criterion.name] = offers
        self.fields[f"c-{criterion.name}"] = entry
        self.fields[f"s-{criterion.name}"] = SourceField(
            label=format_html('Source<span class="vh"> of: {}</span>', criterion.label),
            required=criterion.name in self.step.criteria,
            max_length=300,
            initial=self.step.sources.get(criterion.name, ""),
        )

    def take_over(self, data: QueryDict) -> None:
        """Show what was typed with the offers named in `data["take"]` written in, judging nothing.

        All at once leave alone what is typed already. `taken` are the labels of those written in.
        """
        self.initial = {
            name: field.widget.value_from_datadict(data, {}, name)
            for name, field in self.fields.items()
        }
        for name, offer in taken_over(self.offers, data.get("take", "")):
            untouched = not (self.initial[f"c-{name}"] or "").strip()
            if untouched or data.get("take") != EVERY_OFFER:
                self.initial |= {f"c-{name}": offer.typed, f"s-{name}": offer.source}
                self.taken.append(str(self.fields[f"c-{name}"].label))

    def clean(self) -> dict[str, Any]:
        """The engine's own check of the step, its refusal beside the field it names."""
        super().clean()
        if self.errors:
            return self.cleaned_data
        if not any(name[:2] in ("c-", "s-") for name in self.changed_data):
            self.add_error(None, "Nothing differs from the plan: change a limit or its source.")
            return self.cleaned_data
        try:
            check_step(self.made())
        except InvalidValue as refusal:
            problem = self._by_label(refusal.problem[:1].upper() + refusal.problem[1:])
            self.add_error(self._named_by(refusal.path), f"{printed(problem)}.")
        return self.cleaned_data

    def _by_label(self, problem: str) -> str:
        """The problem with other criteria called as the page calls them."""
        for criterion in self.checks.criteria:
            # A name of one word may be meant as that word, or as a unit: "min".
            if "_" in criterion.name or criterion.name == "max":
                problem = re.sub(rf"\b{criterion.name}\b", f'"{criterion.label}"', problem)
        return problem

    def _named_by(self, path: str) -> str | None:
        found = re.match(r"(criteria|sources)\.(\w+)", path)
        name = f"{found[1][0]}-{found[2]}" if found else ""
        return name if name in self.fields else None

    def made(self) -> StepTemplate:
        """The step with these limits."""
        criteria = dict(self._criteria())
        sources = {name: self.cleaned_data[f"s-{name}"] for name in criteria}
        return replace(self.step, criteria=criteria, sources=sources)

    def _criteria(self) -> Iterator[tuple[str, Any]]:
        """Name and value of every limit stated; one left as it was keeps its very text."""
        for criterion in self.checks.criteria:
            name = f"c-{criterion.name}"
            value = self.cleaned_data.get(name)
            if name not in self.changed_data:
                value = self.step.criteria.get(criterion.name)
            if value not in (None, "", [], {}):
                yield criterion.name, value

    @property
    def stated(self) -> list[CriterionShown]:
        """The criteria that the plan states."""
        return [self._shown(name) for name in self._names() if name in self.step.criteria]

    @property
    def offered(self) -> list[CriterionShown]:
        """Those that it does not state and for which there is an offer."""
        return [self._shown(name) for name in self.offers if name not in self.step.criteria]

    @property
    def further(self) -> list[CriterionShown]:
        """Those that it could state as well."""
        known = {*self.step.criteria, *self.offers}
        return [self._shown(name) for name in self._names() if name not in known]

    @property
    def further_is_open(self) -> bool:
        """True where one of them holds an error or something entered."""
        pairs = ((pair.limit, pair.source) for pair in self.further)
        return any(field.errors or field.value() for pair in pairs for field in pair)

    def _names(self) -> list[str]:
        return [criterion.name for criterion in self.checks.criteria]

    def _shown(self, name: str) -> CriterionShown:
        return CriterionShown(
            name=name,
            limit=self[f"c-{name}"],
            source=self[f"s-{name}"],
            offers=self.offers.get(name, []),
        )
