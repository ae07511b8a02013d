"""Every shipped template is played through the acts, from the first step to the approval."""

from typing import Any

import pytest

from qc.engine.lifecycle import Refused, Status
from qc.engine.plan import Intervention, Party
from qc.records.models import Inspection, PlanStep, Repair
from qc.records.plan_steps import steps_of, with_criteria
from qc.records.progress import progress_of
from qc.records.queries import plan_in_force
from qc.records.templates import plan_templates
from qc.workflow import (
    Manner,
    Observation,
    RepairOutline,
    add_evidence,
    agree_plan,
    close_point,
    record_inspection,
    revise_plan,
    start_repair,
)
from tests.certificate.repairs import LAMINATE, ROLLS, SEAL
from tests.factories import NOON, act_on, batch, instrument, photograph, put_signature
from tests.people import People

MANNERS = {
    Intervention.HOLD: Manner.RELEASED,
    Intervention.WITNESS: Manner.ATTENDED,
    Intervention.REVIEW: Manner.REVIEWED,
}

AT = NOON.isoformat()
READINGS: dict[str, list[dict[str, Any]]] = {
    "ambient": [
        {"at": AT, "air": "21 degC", "humidity": "60 %", "steel": ["19 degC"]},
    ],
    "profile": [{"location": str(n), "values": ["50 um"] * 10} for n in (1, 2, 3)],
    "mixing": [
        {
            "mix_start": "2026-05-12T10:30+00:00",
            "mix_end": "2026-05-12T10:34:30+00:00",
            "whole_kit": True,
        }
    ],
    "cure": [
        {"at": f"2026-05-{day:02}T{hour:02}:{minute:02}+00:00", "temperature": "23.5 degC"}
        for day in (10, 11)
        for hour in range(24)
        for minute in (0, 20, 40)
    ],
    "moisture": [{"location": n, "method": "cloth", "moist": False} for n in "ab"],
    "wrap": [*SEAL, *ROLLS],
    "laminate": [LAMINATE],
    "pressure_test": [
        {
            "at": f"2026-05-12T09:{m:02}+00:00" if m < 60 else "2026-05-12T10:00+00:00",
            "pressure": "11 bar",
            "temperature": "18 degC",
            "leak": False,
        }
        for m in (0, 15, 30, 45, 60)
    ],
    "oil_grease": [{"method": m, "contaminated": False} for m in ("visual", "cloth")],
    "blast_air": [
        {
            "at": "2026-05-12T08:00+00:00",
            "until": "2026-05-12T10:00+00:00",
            "occasion": "start_up",
            "duration": "1 min",
            "oil": False,
            "water": False,
        }
    ],
    "salts": [
        {"location": n, "blank": "1 uS/cm", "conductivity": "5 uS/cm", "contact": "10 min"}
        for n in "abc"
    ],
    "dust": [{"location": n, "quantity": 1, "size": 2, "visible": False} for n in "abc"],
    "recoat": [
        {
            "previous_end": "2026-05-12T08:00+00:00",
            "next_start": "2026-05-12T09:00+00:00",
            "temperatures": ["21 degC", "22 degC"],
        }
    ],
    "solvent_rub": [
        {"location": n, "rubs": 50, "rating": 4, "control_rating": 4, "penetrated": False}
        for n in "ab"
    ],
    "adhesion": [
        {"stress": "6.2 MPa", "fracture": [{"nature": "cohesive", "layer": "B"}]} for _ in range(3)
    ],
    "continuity": [{"voltage": "67.5 V", "holidays": 0, "thickness": "400 um"}],
    "hardness": [{"values": ["81"] * 5, "dwell": "1 s"}, {"values": ["80"] * 5, "dwell": "1 s"}],
}


def _conforming(template: str, step: PlanStep) -> list[dict[str, Any]]:
    match step.characteristic:
        case "visual":
            return [{"item": line["item"], "accepted": True} for line in step.criteria["items"]]
        case "cleanliness":
            required = step.criteria["required"]
            return [{"location": n, "achieved": required, "degreased": True} for n in "abc"]
        case "thickness" if "zones" in step.criteria:
            return [
                {"zone": zone["zone"], "values": [zone["min"]] * 5}
                for zone in step.criteria["zones"]
            ]
        case "thickness":
            return [{"values": [step.criteria.get("min", "360 um")]} for _ in range(10)]
        case "wrap":
            return SEAL if step.key == "sealing" else ROLLS
        case "profile" if not template.startswith("composite_wrap"):
            value = "4.1 mil" if template.startswith("filler_rebuild") else "62 um"
            return [{"location": n, "values": [value]} for n in "abc"]
    return READINGS[step.characteristic]


@pytest.mark.django_db
@pytest.mark.parametrize("template", plan_templates())
def test_a_repair_can_be_played_from_the_template_to_approval(
    people: People, template: str
) -> None:
    repair = _agreed_repair(people, template)

    for step in repair.plans.latest("revision").steps.all():
        _play(people, repair, template, step)
    for party in Party:
        put_signature(people, repair, party)

    repair.refresh_from_db()
    assert repair.stands_at is Status.APPROVED


def _agreed_repair(people: People, template: str) -> Repair:
    outline = RepairOutline(
        number="R-1", title="A repair", asset_tag="A-1", defect="Leak", template=template
    )
    entry = start_repair(
        project_id=people.project.pk, outline=outline, **act_on(people, Party.CONTRACTOR)
    )
    repair = Repair.objects.get(pk=entry.repair_id)
    _state_the_pressure(people, repair)
    agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    return repair


def _state_the_pressure(people: People, repair: Repair) -> None:
    steps = steps_of(plan_in_force(repair))
    stated = with_criteria(
        steps,
        "pressure_test",
        {"design_pressure": "10 bar", "hold_min": "60 min"},
        {"design_pressure": "line list", "hold_min": "line list"},
    )
    if stated != steps:
        revise_plan(
            repair_id=repair.pk,
            steps=stated,
            reason="Pressure of the line",
            **act_on(people, Party.CONTRACTOR),
        )


@pytest.mark.django_db
def test_a_plan_without_its_test_pressure_is_not_agreed(people: People) -> None:
    outline = RepairOutline(
        number="R-1",
        title="A repair",
        asset_tag="A-1",
        defect="Leak",
        template="composite_wrap_tested",
    )
    entry = start_repair(
        project_id=people.project.pk, outline=outline, **act_on(people, Party.CONTRACTOR)
    )

    with pytest.raises(Refused, match="Pressure test: the plan must state “Design pressure”"):
        agree_plan(repair_id=entry.repair_id, **act_on(people, Party.CLIENT))
    assert Repair.objects.get().stands_at is Status.PLANNED


def _play(people: People, repair: Repair, template: str, step: PlanStep) -> None:
    observation = Observation(
        readings=_conforming(template, step),
        observed_at=NOON,
        instruments=[instrument(people, kind).pk for kind in step.instrument_kinds[:1]],
        batches=[batch(people).pk] if step.needs_batch else [],
    )
    entry = record_inspection(
        repair_id=repair.pk,
        position=step.position,
        observation=observation,
        **act_on(people, Party.INSPECTOR),
    )
    (judged,) = entry.stated(Inspection)
    assert judged["outcome"] == "conforms", judged["verdict"]["findings"]
    for item in step.evidence:
        add_evidence(
            repair_id=repair.pk,
            position=step.position,
            requirement=item["key"],
            content=photograph(step.position),
            filename="photograph.jpg",
            caption=item["label"],
            **act_on(people, Party.CONTRACTOR),
        )
    _close_open_points(people, repair, step)


def _close_open_points(people: People, repair: Repair, step: PlanStep) -> None:
    progress = progress_of(repair)[step.position - 1]
    for point in progress.points:
        if not point.closed:
            close_point(
                repair_id=repair.pk,
                position=step.position,
                manner=MANNERS[point.intervention],
                note="",
                **act_on(people, point.party),
            )
