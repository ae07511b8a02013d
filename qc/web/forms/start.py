"""Starting a repair: what it is about, on which component, and by which plan."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.html import format_html

from qc.accounts.models import Project, User
from qc.engine.plan import Party
from qc.records.library import library_of
from qc.records.models import Asset, Repair
from qc.records.particulars import (
    COMPONENT_FIGURES,
    DEFECT_FIGURES,
    DEFECT_TYPES,
    clock_kept,
    life_kept,
    wall_problem,
)
from qc.records.templates import SHIPPED
from qc.web.forms.act import ActForm
from qc.web.forms.days import day_field
from qc.web.forms.lines import line as line_of
from qc.web.forms.lines import paragraph
from qc.web.forms.quantities import KeptField, quantity_fields
from qc.web.templatetags.parts import printed
from qc.workflow import RepairOutline

OF_THE_COMPONENT = (
    "asset_tag",
    "asset_description",
    "line",
    "material",
    "service",
    *(figure.column for figure in COMPONENT_FIGURES),
)
"""What is asked of a component that is not on record yet."""


_AS_ON_THE_PAGE = (
    "project",
    "number",
    "title",
    "asset_tag",
    "asset_description",
    "line",
    "material",
    "diameter",
    "wall",
    "service",
    "temperature",
    "pressure",
    "design_temperature",
    "design_pressure",
    "defect_type",
    "defect",
    "defect_length",
    "defect_width",
    "defect_depth",
    "defect_distance",
    "defect_clock",
    "defect_position",
    "repair_class",
    "design_life",
    "next_inspection",
    "template",
    "units",
)
"""The order in which what is wrong is listed."""


def contracted_by(user: User) -> QuerySet[Project]:
    """The projects in which `user` is the contractor, who alone starts repairs."""
    return Project.objects.filter(
        memberships__user=user, memberships__party=Party.CONTRACTOR
    ).order_by("code")


@dataclass(frozen=True)
class Choice:
    """The component of a new repair: the one on record, or what was looked for.

    `tag` is what was looked for; `found` are the components of that tag, one a project.
    """

    known: Asset | None = None
    tag: str = ""
    found: tuple[Asset, ...] = ()


def chosen_component(projects: Sequence[Project], asked: Mapping[str, str]) -> Choice:
    """The component that the address asks for by its id or tag, among those of the projects."""
    mine = Asset.objects.filter(project__in=projects).select_related("project").order_by("pk")
    identifier, tag = asked.get("component", ""), asked.get("tag", "").strip()[:60]
    if identifier.isascii() and identifier.isdigit() and len(identifier) < 19:
        return Choice(known=mine.filter(pk=identifier).first())
    if not tag:
        return Choice()
    found = tuple(mine.filter(tag__iexact=tag))
    return Choice(known=found[0] if len(found) == 1 else None, tag=tag, found=found)


class StartForm(ActForm):
    """What a repair is about, and the template its plan is drafted from.

    With a component on record (`choice.known`) nothing is asked of it, nor for its project.
    """

    beside = {
        "component.description": "asset_description",
        **{f"component.{name}": name for name in OF_THE_COMPONENT},
        **{name: name for name in RepairOutline.__dataclass_fields__},
    }

    project = forms.ModelChoiceField(
        Project.objects.none(),
        label="Project",
        empty_label=None,
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose the project.",
            "invalid_choice": "You are not the contractor of that project.",
        },
    )
    number = line_of("Number", Repair, "number", missing="Give the repair its number.")
    title = line_of("Title", Repair, "title", missing="Say in a few words what is repaired.")
    asset_tag = line_of(
        "Tag of the component",
        Asset,
        "tag",
        missing="Enter the tag of the pipe or steel that is repaired.",
        help_text="As marked on it or in the line list",
    )
    asset_description = line_of(
        "Description of the component", Asset, "description", required=False
    )
    line = line_of("Line", Asset, "line", required=False, help_text="As in the line list")
    material = line_of("Material", Asset, "material", required=False)
    service = line_of("Service", Asset, "service", required=False, help_text="The fluid")
    defect_type = forms.ChoiceField(
        label="Kind of defect",
        required=False,
        choices=[("", "Not said"), *DEFECT_TYPES.items()],
        error_messages={"invalid_choice": "%(value)s is no kind of defect that is known here."},
    )
    defect = paragraph(
        "Defect in words", Repair, "defect", missing="Say what is wrong, in your own words."
    )
    defect_clock = KeptField(
        clock_kept,
        label="Clock position",
        help_text="1 to 12 as one looks along the flow, such as 6 or 6:30",
    )
    defect_position = line_of(
        "From where, or the place in words",
        Repair,
        "defect_position",
        required=False,
        help_text="The same words for the same place, such as: from flange F3",
    )
    repair_class = line_of(
        "Repair class",
        Repair,
        "repair_class",
        required=False,
        help_text="As contract or design names it, with its standard",
    )
    design_life = KeptField(
        life_kept, label="Design life", help_text="Such as 20 years or 18 months"
    )
    next_inspection = day_field(
        "Next inspection by",
        "",
        required=False,
        help_text="The client can set it later, too",
    )
    units = forms.ChoiceField(
        label="Units offered on forms",
        choices=[("metric", "Metric: mm, µm, °C"), ("us", "US: in, mil, °F")],
        initial="metric",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose the units."},
    )
    template = forms.ChoiceField(
        label="Plan template",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose the template the plan is drafted from."},
    )

    def __init__(
        self, projects: Sequence[Project], choice: Choice, *args: Any, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.known = choice.known
        self.fields.update(quantity_fields((*COMPONENT_FIGURES, *DEFECT_FIGURES)))
        if self.known:
            for name in ("project", *OF_THE_COMPONENT):
                del self.fields[name]
        else:
            self._ask_for_the_project(projects)
            self.fields["asset_tag"].initial = choice.tag
        choices: Any = self.fields["template"]
        choices.choices = list(templates_of(_planned_in(projects, choice)).items())
        choices.is_long = True
        self.order_fields(_AS_ON_THE_PAGE)

    def _ask_for_the_project(self, projects: Sequence[Project]) -> None:
        project = self.fields["project"]
        mine = Project.objects.filter(pk__in=[p.pk for p in projects]).order_by("code")
        project.queryset = mine  # type: ignore[attr-defined]
        if len(projects) == 1:
            project.initial = projects[0]

    def clean(self) -> dict[str, Any]:
        """A wall that fits its pipe."""
        said = super().clean() or self.cleaned_data
        if problem := wall_problem(said.get("diameter", ""), said.get("wall", "")):
            self.add_error("wall", printed(problem))
        return said

    def said(self) -> dict[str, Any]:
        """The arguments of the act."""
        facts = {k: v for k, v in self.cleaned_data.items() if k not in ("act_id", "project")}
        if self.known:
            facts["asset_tag"] = self.known.tag
            return {"project_id": self.known.project_id, "outline": RepairOutline(**facts)}
        return {"project_id": self.cleaned_data["project"].pk, "outline": RepairOutline(**facts)}


def _planned_in(projects: Sequence[Project], choice: Choice) -> Sequence[Project]:
    """The project of the component on record, or all that the repair could be in."""
    return [choice.known.project] if choice.known else projects


def templates_of(projects: Sequence[Project]) -> dict[str, str]:
    """What a plan can be drafted from, by key: shipped, or kept by one of the projects."""
    found: dict[str, str] = {}
    for project in projects:
        for key, made in library_of(project.pk).items():
            own = f", {project.code} revision {made.revision}"
            title = made.title if made.revision == SHIPPED else made.title + own
            found[key] = format_html("<b>{}</b> <small>{}</small>", title, made.summary)
    return found
