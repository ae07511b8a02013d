"""Starting a repair: what it is about, on which component, and by which plan."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.html import format_html

from qc.accounts.models import Project, User
from qc.engine.plan import Party
from qc.engine.quantities import Dimension, InvalidQuantity, Quantity
from qc.records.models import Asset, Repair
from qc.records.templates import plan_templates
from qc.web.forms.act import ActForm
from qc.web.forms.figures import Unclear, figure_in
from qc.web.forms.lines import line, paragraph
from qc.web.templatetags.parts import printed
from qc.workflow import RepairOutline

_SIZE_EXAMPLE = "such as 168.3 mm or 6.625 in"


class SizeField(forms.CharField):
    """A length with its unit, as the record keeps it; the unit is never guessed."""

    def clean(self, value: Any) -> str:
        text = super().clean(value)
        if not text:
            return ""
        try:
            figure = figure_in(text, Dimension.LENGTH, "mm")
            size = Quantity.parse(f"{figure.digits} {figure.unit}", Dimension.LENGTH)
        except (Unclear, InvalidQuantity) as refusal:
            problem = str(refusal) if text.strip()[-1:].isalpha() else f"{text} has no unit"
            raise ValidationError(f"{printed(problem)}: type it {_SIZE_EXAMPLE}.") from None
        if size.magnitude <= Decimal(0):
            raise ValidationError(f"{text} is no size: it must be more than 0.")
        return f"{figure.digits} {figure.unit}"


class StartForm(ActForm):
    """What a repair is about, and the template its plan is drafted from."""

    beside = {
        "component.description": "asset_description",
        "component.diameter": "diameter",
        "component.wall": "wall",
        "component.material": "material",
        "component.service": "service",
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
    number = line("Number", Repair, "number", missing="Give the repair its number.")
    title = line("Title", Repair, "title", missing="Say in a few words what is repaired.")
    asset_tag = line(
        "Tag of the component",
        Asset,
        "tag",
        missing="Enter the tag of the pipe or steel that is repaired.",
        help_text="As marked on it or in the line list",
        widget=forms.TextInput({"list": "tags", "autocomplete": "off"}),
    )
    asset_description = line("Description of the component", Asset, "description", required=False)
    diameter = SizeField(
        label="Outside diameter",
        max_length=40,
        required=False,
        help_text=f"With its unit, {_SIZE_EXAMPLE}",
    )
    wall = SizeField(
        label="Wall thickness", max_length=40, required=False, help_text="With its unit"
    )
    material = line("Material", Asset, "material", required=False)
    service = line(
        "Service", Asset, "service", required=False, help_text="Fluid, temperature, pressure"
    )
    defect = paragraph(
        "Defect", Repair, "defect", missing="Say what is wrong: kind, size and place of the defect."
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

    def __init__(self, contractor: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        mine = Project.objects.filter(
            memberships__user=contractor, memberships__party=Party.CONTRACTOR
        ).order_by("code")
        self.projects = list(mine)
        self.fields["project"].queryset = mine  # type: ignore[attr-defined]
        if len(self.projects) == 1:
            self.fields["project"].initial = self.projects[0]
        self.fields["template"].choices = [  # type: ignore[attr-defined]
            (key, format_html("<b>{}</b> <small>{}</small>", made.title, made.summary))
            for key, made in plan_templates().items()
        ]

    def clean(self) -> dict[str, Any]:
        """A wall that fits its pipe."""
        said = super().clean() or self.cleaned_data
        diameter, wall = said.get("diameter"), said.get("wall")
        if (
            diameter
            and wall
            and _size(wall).magnitude_in("mm") * 2 > _size(diameter).magnitude_in("mm")
        ):
            self.add_error(
                "wall", f"{printed(wall)} is more than half of the diameter, {printed(diameter)}."
            )
        return said

    def said(self) -> dict[str, Any]:
        """The arguments of the act."""
        facts = {k: v for k, v in self.cleaned_data.items() if k not in ("act_id", "project")}
        outline = RepairOutline(**facts)
        return {"project_id": self.cleaned_data["project"].pk, "outline": outline}

    @property
    def tags(self) -> list[str]:
        """The tags of components on record, to choose from."""
        known = Asset.objects.filter(project__in=self.projects).order_by("tag")
        return list(known.values_list("tag", flat=True).distinct())


def _size(text: str) -> Quantity:
    return Quantity.parse(text, Dimension.LENGTH)
