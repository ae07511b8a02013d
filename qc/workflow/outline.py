"""What a repair is about, as it is handed in, and what speaks against it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from datetime import date
from typing import Any

from qc.engine.lifecycle import repair_blocker
from qc.engine.plan import Blocker, Party
from qc.engine.wording import quantity_text
from qc.records.models import Asset
from qc.records.particulars import (
    COMPONENT_FIGURES,
    DEFECT_FIGURES,
    DefectType,
    clock_kept,
    life_kept,
    said_problems,
    wall_problem,
)


@dataclass(frozen=True, kw_only=True)
class RepairOutline:
    """What a repair is about. Figures are quantities as text, such as "168.3 mm" or "60 degC".

    `temperature` and `pressure` are those of operation; `defect_clock` is "6" or "6:30";
    `design_life` is "20 years" or "18 months". What is not known is "".
    """

    number: str
    title: str
    asset_tag: str
    defect: str
    template: str
    units: str = "metric"
    asset_description: str = ""
    line: str = ""
    diameter: str = ""
    wall: str = ""
    material: str = ""
    service: str = ""
    temperature: str = ""
    pressure: str = ""
    design_temperature: str = ""
    design_pressure: str = ""
    defect_type: str = ""
    defect_length: str = ""
    defect_width: str = ""
    defect_depth: str = ""
    defect_distance: str = ""
    defect_clock: str = ""
    defect_position: str = ""
    repair_class: str = ""
    design_life: str = ""
    next_inspection: date | None = None

    @property
    def component(self) -> dict[str, str]:
        """What is said of the component, by the column that keeps it."""
        columns = {name: getattr(self, name) for name in _OF_THE_COMPONENT}
        return {"description": self.asset_description, **columns}

    @property
    def about(self) -> dict[str, Any]:
        """What is said of the repair itself, by the column that keeps it."""
        return {name: getattr(self, name) for name in _OF_THE_REPAIR}


_OF_THE_COMPONENT = (
    "line",
    "diameter",
    "wall",
    "material",
    "service",
    "temperature",
    "pressure",
    "design_temperature",
    "design_pressure",
)
_ELSEWHERE = {"asset_tag", "asset_description", "template", *_OF_THE_COMPONENT}
_OF_THE_REPAIR = tuple(f.name for f in fields(RepairOutline) if f.name not in _ELSEWHERE)


def senseless(outline: RepairOutline, today: date) -> list[Blocker]:
    """Every fact that makes no sense; its rule names the column. `today` is the day at the site."""
    found = [*_of_the_component(outline), *_of_the_defect(outline), *_of_the_design(outline, today)]
    return [repair_blocker(rule, problem, Party.CONTRACTOR) for rule, problem in found]


def other_component(known: Asset, outline: RepairOutline) -> list[Blocker]:
    """What is said of a component that is on record as another; nothing is dropped in silence."""
    return [
        repair_blocker(
            f"component.{column}",
            f"{known.tag} is on record {_as_kept(getattr(known, column))}: leave this empty,"
            " or give another component another tag.",
            Party.CONTRACTOR,
        )
        for column, said in outline.component.items()
        if said and said != getattr(known, column)
    ]


def _as_kept(kept: str) -> str:
    return f"as {quantity_text(kept)}" if kept else "without it"


def _of_the_component(outline: RepairOutline) -> Iterator[tuple[str, str]]:
    said = outline.component
    problems = dict(said_problems(said, COMPONENT_FIGURES))
    if not problems.keys() & {"diameter", "wall"}:
        if problem := wall_problem(said["diameter"], said["wall"]):
            problems["wall"] = f"Wall thickness: {problem}"
    for column, problem in problems.items():
        yield f"component.{column}", problem


def _of_the_defect(outline: RepairOutline) -> Iterator[tuple[str, str]]:
    if outline.defect_type and outline.defect_type not in set(DefectType):
        allowed = ", ".join(DefectType)
        yield "defect_type", f"Kind of defect: {outline.defect_type!r} is none of {allowed}."
    yield from said_problems(outline.about, DEFECT_FIGURES)
    if outline.defect_clock:
        yield from _refused("defect_clock", clock_kept, outline.defect_clock)


def _of_the_design(outline: RepairOutline, today: date) -> Iterator[tuple[str, str]]:
    if outline.design_life:
        yield from _refused("design_life", life_kept, outline.design_life)
    if outline.next_inspection and (problem := past(outline.next_inspection, today)):
        yield "next_inspection", problem


def past(due_on: date, today: date) -> str:
    """Why an inspection can't fall due on this day, or ""."""
    if due_on >= today:
        return ""
    return f"Next inspection: {due_on.isoformat()} is past; it must be today or later."


def _refused(column: str, keep: Callable[[str], str], text: str) -> Iterator[tuple[str, str]]:
    try:
        kept = keep(text)
    except ValueError as refusal:
        yield column, str(refusal)
        return
    if kept != text:
        yield column, f"{text} is kept as {kept}: hand it in so."
