"""What is handed in of component, defect and design is kept as said, or refused by name."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from qc.engine.lifecycle import Refused
from qc.engine.plan import Party
from qc.ledger.chain import Entry
from qc.records.models import Asset, Repair
from qc.workflow import RepairOutline, start_repair
from qc.workflow.document import record_document
from tests.factories import act_on, planned_repair
from tests.people import People

OUTLINE = RepairOutline(
    number="R-030",
    title="Wrap over a hole",
    asset_tag="8-SL-012",
    asset_description="Slop line",
    line="8-SL-0120-A1",
    diameter="219.1 mm",
    wall="8.18 mm",
    material="Carbon steel",
    service="Slops",
    temperature="-3.5 degC",
    pressure="0 bar",
    design_temperature="176 degF",
    design_pressure="145 psi",
    defect="Hole in a corroded patch",
    defect_type="through_wall",
    defect_length="70 mm",
    defect_width="2 in",
    defect_depth="8.18 mm",
    defect_distance="-0.4 m",
    defect_clock="6:30",
    defect_position="from flange F3",
    repair_class="2 (ISO 24817)",
    design_life="20 years",
    next_inspection=date(2026, 5, 12),
    template="composite_wrap",
)


def start(people: People, **changes: Any) -> Entry:
    outline = replace(OUTLINE, **changes)
    return start_repair(
        project_id=people.project.pk, outline=outline, **act_on(people, Party.CONTRACTOR)
    )


def test_every_fact_is_kept_as_it_was_said_and_stated_in_the_ledger(people: People) -> None:
    entry = start(people)
    repair, asset = Repair.objects.get(), Asset.objects.get()

    assert {name: getattr(repair, name) for name in OUTLINE.about} == OUTLINE.about
    assert {name: getattr(asset, name) for name in OUTLINE.component} == OUTLINE.component
    (stated,) = entry.stated(Repair)
    assert stated["defect_distance"] == "-0.4 m"
    assert stated["next_inspection"] == "2026-05-12"
    (component,) = entry.stated(Asset)
    assert component["design_pressure"] == "145 psi"


def test_the_record_that_is_signed_holds_component_defect_and_design(people: People) -> None:
    start(people)
    said = record_document(Repair.objects.get())["repair"]

    assert said["component"]["line"] == "8-SL-0120-A1"
    assert said["component"]["temperature"] == "-3.5 degC"
    assert said["defect_details"] == {
        "type": "through_wall",
        "length": "70 mm",
        "width": "2 in",
        "depth": "8.18 mm",
        "distance": "-0.4 m",
        "clock": "6:30",
        "position": "from flange F3",
    }
    assert said["design"] == {
        "repair_class": "2 (ISO 24817)",
        "design_life": "20 years",
        "next_inspection": "2026-05-12",
    }


@pytest.mark.parametrize(
    ("column", "text", "problem"),
    [
        ("diameter", "219.1", "Outside diameter: '219.1' is no length in um, mm"),
        ("diameter", "0 mm", "Outside diameter: 0 mm is no size: it must be more than 0."),
        ("wall", "-8 mm", "Wall thickness: -8 mm is no size"),
        ("wall", "109.6 mm", "109.6 mm is more than half of the diameter, 219.1 mm."),
        ("temperature", "20 bar", "Operating temperature: '20 bar' is no temperature in degC"),
        ("temperature", "-273.16 degC", "-273.16 °C is below absolute zero"),
        ("design_temperature", "-459.68 degF", "Design temperature: -459.68 °F is below"),
        ("pressure", "3", "Operating pressure: '3' is no pressure"),
        ("design_pressure", "60 degC", "Design pressure: '60 degC' is no pressure"),
    ],
)
def test_a_figure_of_the_component_that_makes_no_sense_is_refused_by_name(
    people: People, column: str, text: str, problem: str
) -> None:
    with pytest.raises(Refused) as refused:
        start(people, **{column: text})

    (reason,) = refused.value.reasons
    assert problem in reason.statement
    assert reason.rule == f"component.{column}"
    assert not Repair.objects.exists()
    assert not Asset.objects.exists()


@pytest.mark.parametrize(
    ("column", "said", "problem"),
    [
        ("defect_type", "rust", "Kind of defect: 'rust' is none of external_corrosion"),
        ("defect_length", "0 mm", "Length of the defect: 0 mm is no size"),
        ("defect_width", "2 degC", "Width of the defect: '2 degC' is no length"),
        ("defect_depth", "deep", "Depth of the defect: 'deep' is no length"),
        ("defect_distance", "12", "Distance along the component: '12' is no length"),
        ("defect_clock", "13", "13 is no clock position: type 1 to 12"),
        ("defect_clock", "0:30", "0:30 is no clock position"),
        ("defect_clock", "6:60", "6:60 is no clock position"),
        ("defect_clock", "06:00", "06:00 is kept as 6: hand it in so."),
        ("design_life", "20", "20 is no design life: type it such as 20 years or 18 months."),
        ("design_life", "0 years", "0 years is no design life"),
        ("next_inspection", date(2026, 5, 11), "Next inspection: 2026-05-11 is past"),
    ],
)
def test_a_fact_of_defect_or_design_that_makes_no_sense_is_refused_by_name(
    people: People, column: str, said: Any, problem: str
) -> None:
    with pytest.raises(Refused) as refused:
        start(people, **{column: said})

    (reason,) = refused.value.reasons
    assert problem in reason.statement
    assert reason.rule == column
    assert not Repair.objects.exists()


@pytest.mark.parametrize(
    ("column", "said"),
    [
        ("wall", "109.55 mm"),
        ("temperature", "-273.15 degC"),
        ("pressure", "-0.4 bar"),
        ("defect_clock", "12"),
        ("defect_clock", "1:05"),
        ("design_life", "18 months"),
        ("next_inspection", None),
    ],
)
def test_what_lies_on_the_edge_of_sense_is_kept(people: People, column: str, said: Any) -> None:
    assert start(people, **{column: said}).repair_id


def test_everything_that_makes_no_sense_is_said_at_once(people: People) -> None:
    with pytest.raises(Refused) as refused:
        start(people, wall="thin", defect_clock="25", design_life="long", number="")

    rules = [reason.rule for reason in refused.value.reasons]
    assert rules == ["repair", "component.wall", "defect_clock", "design_life"]


def test_a_component_on_record_keeps_what_was_said_of_it_first(people: People) -> None:
    planned_repair(people)
    with pytest.raises(Refused, match="6-CW-118 is on record without it"):
        start(people, asset_tag="6-CW-118", **dict.fromkeys(("diameter", "wall"), ""))
