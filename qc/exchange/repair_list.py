"""The register of repairs as comma-separated values, for a spreadsheet."""

import csv
from collections.abc import Iterable, Iterator
from zoneinfo import ZoneInfo

from qc.exchange.cells import cell, quantity_cells
from qc.records.models import Repair
from qc.records.particulars import COMPONENT_FIGURES, DEFECT_FIGURES, DEFECT_TYPES

_WORDS_BEFORE = ("Number", "Title", "Project", "Status", "Component", "Line", "Material", "Service")
_FIGURES = (*COMPONENT_FIGURES, *DEFECT_FIGURES)
_WORDS_AFTER = (
    "Kind of defect",
    "Defect",
    "Clock position",
    "Position in words",
    "Repair class",
    "Design life",
    "Next inspection",
    "Open reports",
    "Certificate",
    "Released",
)
_MARK_OF_UTF8 = "\ufeff"
"""Tells a spreadsheet which letters these are."""


def csv_lines(repairs: Iterable[Repair]) -> Iterator[str]:
    """The lines of the file. A figure and its unit stand in two columns.

    The repairs are those of `qc.records.search.repairs_found`.
    """
    writer = csv.writer(_Line())
    figures = [name for figure in _FIGURES for name in (figure.label, f"{figure.label}, unit")]
    yield _MARK_OF_UTF8 + writer.writerow([*_WORDS_BEFORE, *figures, *_WORDS_AFTER])
    for repair in repairs:
        yield writer.writerow([*_before(repair), *_figures(repair), *_after(repair)])


class _Line:
    """Where the writer of the standard library leaves a line: it is handed on at once."""

    def write(self, line: str) -> str:
        return line


def _before(repair: Repair) -> Iterator[str]:
    asset = repair.asset
    yield cell(repair.number)
    yield cell(repair.title)
    yield cell(repair.project.code)
    yield cell(repair.status.replace("_", " "))
    for text in (asset.tag, asset.line, asset.material, asset.service):
        yield cell(text)


def _figures(repair: Repair) -> Iterator[str]:
    for figure in COMPONENT_FIGURES:
        yield from quantity_cells(getattr(repair.asset, figure.column))
    for figure in DEFECT_FIGURES:
        yield from quantity_cells(getattr(repair, figure.column))


def _after(repair: Repair) -> Iterator[str]:
    found = vars(repair)
    released_at, zone = found["released_at"], ZoneInfo(repair.project.time_zone)
    yield cell(DEFECT_TYPES.get(repair.defect_type, repair.defect_type))
    for text in (repair.defect, repair.defect_clock, repair.defect_position):
        yield cell(text)
    yield cell(repair.repair_class)
    yield cell(repair.design_life)
    yield cell(repair.next_inspection)
    yield cell(found["open_reports"])
    yield cell(found["certificate_number"])
    yield cell(released_at.astimezone(zone).date() if released_at else None)
