"""The data sheets that a project goes by: the latest revision of each product."""

from collections.abc import Iterator, Sequence
from typing import Any

from qc.records.models import DataSheet


def sheets_in_force(project_id: int) -> list[DataSheet]:
    """The revision of each product's sheet that was entered last, by product."""
    latest: dict[str, DataSheet] = {}
    for sheet in DataSheet.objects.filter(project=project_id).order_by("pk"):
        latest[sheet.product] = sheet
    return [latest[product] for product in sorted(latest)]


def source_of(sheet: DataSheet) -> str:
    """How a limit names the sheet it comes from."""
    return f"data sheet {sheet.product}, revision {sheet.revision}"


def figures_for(
    sheets: Sequence[DataSheet], characteristic: str, name: str
) -> Iterator[tuple[Any, str]]:
    """The values that sheets state for a criterion, each with its source."""
    for sheet in sheets:
        value = sheet.values.get(characteristic, {}).get(name)
        if value not in (None, "", [], {}):
            yield value, source_of(sheet)
