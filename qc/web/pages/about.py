"""What a repair is about, as pages print it: component, defect, design and parties."""

from collections.abc import Iterable

from qc.accounts.models import Project
from qc.engine.plan import Party
from qc.engine.wording import day_text, quantity_text
from qc.records.models import Asset, Repair
from qc.records.particulars import DEFECT_TYPES
from qc.records.position import details_of, position_text, size_text

Facts = list[dict[str, str]]
"""Terms and what they are, as the part `definitions` draws them."""


def component_shown(asset: Asset) -> Facts:
    """What is repaired."""
    return _said(
        [
            ("Component", f"{asset.tag} {asset.description}".strip()),
            ("Line", asset.line),
            ("Diameter", quantity_text(asset.diameter)),
            ("Wall", quantity_text(asset.wall)),
            ("Material", asset.material),
            ("Service", asset.service),
            ("In operation", conditions(asset.temperature, asset.pressure)),
            ("Designed for", conditions(asset.design_temperature, asset.design_pressure)),
        ]
    )


def defect_shown(repair: Repair) -> Facts:
    """What is wrong with it, how large, and where."""
    details = details_of(repair)
    return _said(
        [
            ("Defect", repair.defect),
            ("Kind of defect", DEFECT_TYPES.get(details["type"], "")),
            ("Size", size_text(details)),
            ("Position", position_text(details)),
        ]
    )


def design_shown(repair: Repair) -> Facts:
    """What the design of the repair asks for, as it was handed in."""
    due = repair.next_inspection
    return _said(
        [
            ("Repair class", repair.repair_class),
            ("Design life", repair.design_life),
            ("Next inspection", f"by {day_text(due)}" if due else ""),
        ]
    )


def parties_shown(project: Project) -> Facts:
    """The three firms."""
    return [
        {"term": party.capitalize(), "definition": project.organisation_of(party).name}
        for party in Party
    ]


def conditions(temperature: str, pressure: str) -> str:
    """A temperature and a pressure in a line: "22 °C, 3.2 bar"; "" where neither is said."""
    return ", ".join(quantity_text(text) for text in (temperature, pressure) if text)


def _said(facts: Iterable[tuple[str, str]]) -> Facts:
    return [{"term": term, "definition": said} for term, said in facts if said]
