"""Entering batches of material and data sheets, and recalling a batch."""

from collections.abc import Iterator, Mapping
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.http import QueryDict

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import Field
from qc.records.models import Batch, BatchRecall, DataSheet
from qc.web.forms.act import ActForm
from qc.web.forms.criteria import criterion_entry
from qc.web.forms.days import day_field
from qc.web.forms.entries import Setting
from qc.web.forms.lines import line, paragraph
from qc.web.forms.uploads import UploadField

FIGURES_OF_SHEETS: Mapping[str, tuple[str, ...]] = {
    "mixing": (
        "ratio",
        "ratio_basis",
        "ratio_tolerance",
        "density_a",
        "density_b",
        "duration_min",
        "duration_max",
        "induction",
        "pot_life",
        "pot_life_starts",
        "storage_temperature_min",
        "storage_temperature_max",
        "material_temperature_min",
        "material_temperature_max",
    ),
    "cure": ("table", "temperature_min", "temperature_max"),
    "recoat": ("window_min", "window_max"),
    "ambient": ("humidity_max", "margin_min", "air_min", "air_max", "steel_min", "steel_max"),
    "wrap": ("soak_min", "soak_max", "knead_min", "knead_max", "working_time"),
}
"""What a product's data sheet states, by characteristic: names of its criteria."""


class BatchForm(ActForm):
    """A batch of material."""

    product = line("Product", Batch, "product", missing="Enter what the product is called.")
    part = line(
        "Part",
        Batch,
        "part",
        required=False,
        help_text="For a product of two parts: A, B, or A and B where one number covers both",
    )
    number = line(
        "Batch number", Batch, "number", missing="Enter the batch number that is on the label."
    )
    expiry = day_field(
        "Expiry",
        "",
        required=False,
        help_text="The last day it may be used; leave it empty only where the label states none",
    )
    storage = line(
        "Storage",
        Batch,
        "storage",
        required=False,
        help_text="Where and how warm it is kept",
    )


class RecallForm(ActForm):
    """That a batch is recalled."""

    beside = {"reason": "reason"}

    reason = paragraph(
        "Reason", BatchRecall, "reason", missing="Say why the batch is recalled and by whom."
    )


class DataSheetForm(ActForm):
    """A revision of a product's data sheet; what it does not state stays empty."""

    beside = {
        "revision": "revision",
        "file": "file",
        **{
            f"{key}.{name}": f"{key}-{name}"
            for key, names in FIGURES_OF_SHEETS.items()
            for name in names
        },
    }

    product = line("Product", DataSheet, "product", missing="Enter what the product is called.")
    revision = line(
        "Revision",
        DataSheet,
        "revision",
        missing="Enter the revision or the date of the data sheet.",
    )
    file = UploadField("Data sheet")

    def __init__(self, zone: ZoneInfo, data: QueryDict | None = None, files: Any = None) -> None:
        super().__init__(data, files)
        setting = Setting(units="metric", zone=zone, criteria_fields=(), criteria={})
        for key, criterion in _figures():
            name = f"{key}-{criterion.name}"
            self.fields[name] = criterion_entry(criterion, setting)
            self.fields[name].required = False

    def clean(self) -> dict[str, Any]:
        """At least one figure."""
        super().clean()
        if not self.errors and not any(self.values().values()):
            self.add_error(None, "Enter at least one figure of the data sheet.")
        return self.cleaned_data

    def values(self) -> dict[str, dict[str, Any]]:
        """The figures stated, by characteristic."""
        found: dict[str, dict[str, Any]] = {key: {} for key in FIGURES_OF_SHEETS}
        for key, criterion in _figures():
            value = self.cleaned_data.get(f"{key}-{criterion.name}")
            if value not in (None, "", [], {}):
                found[key][criterion.name] = value
        return {key: figures for key, figures in found.items() if figures}

    def said(self) -> dict[str, Any]:
        """The arguments of the act."""
        names = ("product", "revision", "file")
        return {**{n: self.cleaned_data[n] for n in names}, "values": self.values()}

    @property
    def groups(self) -> list[dict[str, Any]]:
        """The figures by characteristic, as the page draws them."""
        return [
            {
                "title": CHARACTERISTICS[key].title,
                "fields": (fields := [self[f"{key}-{name}"] for name in names]),
                "is_open": any(field.errors or field.value() for field in fields),
            }
            for key, names in FIGURES_OF_SHEETS.items()
        ]

    @property
    def about(self) -> list[forms.BoundField]:
        """What the sheet is of."""
        return [self[name] for name in ("product", "revision", "file")]


def _figures() -> Iterator[tuple[str, Field]]:
    for key, names in FIGURES_OF_SHEETS.items():
        declared = {field.name: field for field in CHARACTERISTICS[key].criteria}
        for name in names:
            yield key, declared[name]
