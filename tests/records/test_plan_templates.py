"""The shipped plan templates: sourced, complete, and playable from the first step to approval."""

import re
from typing import Any

import pytest

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.lifecycle import Status
from qc.engine.plan import Intervention, Party
from qc.records.models import PlanStep, Repair
from qc.records.progress import progress_of
from qc.records.templates import PlanTemplate, StepTemplate, plan_templates
from qc.workflow import (
    Manner,
    Observation,
    RepairOutline,
    add_evidence,
    agree_plan,
    close_point,
    record_inspection,
    start_repair,
)
from tests.factories import NOON, act_on, batch, instrument, photograph, put_signature
from tests.people import People

TEMPLATES = plan_templates()
STEPS = [
    pytest.param(step, id=f"{template.key}-{step.key}")
    for template in TEMPLATES.values()
    for step in template.steps
]
READ = (
    "IMO guideline on blasting conditions, 3.3",
    "MIL-HDBK-1110",
    "UFGS 09972 and 09973",
    "ASTM D7091-05, scope",
)
"""The standards of which the cited place was read."""

FOR_TEMPLATES = {
    "ambient",
    "cleanliness",
    "profile",
    "mixing",
    "thickness",
    "cure",
    "hardness",
    "visual",
}

MANNERS = {
    Intervention.HOLD: Manner.RELEASED,
    Intervention.WITNESS: Manner.ATTENDED,
    Intervention.REVIEW: Manner.REVIEWED,
}


def test_the_three_templates_are_shipped() -> None:
    assert set(TEMPLATES) == {"composite_wrap", "filler_rebuild", "protective_coating"}


def test_together_they_check_everything_from_the_weather_to_the_finished_repair() -> None:
    used = {step.characteristic for template in TEMPLATES.values() for step in template.steps}

    assert used == FOR_TEMPLATES


@pytest.mark.parametrize("step", STEPS)
def test_every_criterion_states_its_source(step: StepTemplate) -> None:
    assert set(step.sources) == set(step.criteria)


@pytest.mark.parametrize("step", STEPS)
def test_a_source_was_read_or_says_what_it_is(step: StepTemplate) -> None:
    items = [item["source"] for item in step.criteria.get("items", [])]

    for source in [*step.sources.values(), *items]:
        assert (
            source.startswith(("common practice", *READ))
            or "to be confirmed against the licensed text" in source
        ), source


@pytest.mark.parametrize("step", STEPS)
def test_a_step_fits_the_columns_that_keep_it(step: StepTemplate) -> None:
    for name in ("key", "title", "activity", "characteristic", "reference", "sampling"):
        column: Any = PlanStep._meta.get_field(name)

        assert len(getattr(step, name)) <= column.max_length, name


@pytest.mark.parametrize("step", STEPS)
def test_a_step_names_instruments_that_its_characteristic_is_read_with(step: StepTemplate) -> None:
    assert set(step.instrument_kinds) <= set(CHARACTERISTICS[step.characteristic].instruments)


@pytest.mark.parametrize("step", STEPS)
def test_a_step_has_evidence_with_key_label_and_kind(step: StepTemplate) -> None:
    for item in step.evidence:
        assert set(item) == {"key", "label", "kind"}
        assert re.fullmatch(r"[a-z_]+", item["key"])


@pytest.mark.parametrize("step", STEPS)
def test_the_inspector_and_the_contractor_have_a_point_at_every_step(step: StepTemplate) -> None:
    assert {Party.INSPECTOR, Party.CONTRACTOR} <= set(step.points)


@pytest.mark.parametrize("template", TEMPLATES.values(), ids=TEMPLATES)
def test_the_client_holds_the_work_after_the_profile_and_reviews_the_end(
    template: PlanTemplate,
) -> None:
    points = {step.key: step.points.get(Party.CLIENT) for step in template.steps}

    assert points["profile"] == Intervention.HOLD
    assert points["final"] == Intervention.REVIEW


@pytest.mark.parametrize("template", TEMPLATES.values(), ids=TEMPLATES)
def test_a_template_warns_of_what_can_hurt(template: PlanTemplate) -> None:
    assert any("gloves" in caution for caution in template.cautions)
    assert any("permit" in caution for caution in template.cautions)


@pytest.mark.parametrize("template", TEMPLATES.values(), ids=TEMPLATES)
def test_the_keys_of_its_steps_are_unique(template: PlanTemplate) -> None:
    keys = [step.key for step in template.steps]

    assert len(keys) == len(set(keys))


def _wrap_step(key: str) -> StepTemplate:
    return next(step for step in TEMPLATES["composite_wrap"].steps if step.key == key)


def test_the_wrap_is_held_to_the_limits_of_common_practice() -> None:
    zones = {z["zone"]: z["min"] for z in _wrap_step("filler_thickness").criteria["zones"]}

    assert _wrap_step("cleanliness").criteria["required"] == "St 2"
    assert _wrap_step("profile").criteria["max"] == "60 um"
    assert zones == {"over the leak": "10 mm", "elsewhere": "5 mm"}


def test_the_wrap_is_asked_nine_tenths_of_the_hardness_it_was_qualified_with() -> None:
    step = _wrap_step("hardness")
    checks = CHARACTERISTICS["hardness"]
    criteria = checks.parse_criteria(dict(step.criteria), step.sources)

    def outcome(value: str) -> str:
        reading = checks.parse_reading({"values": [value] * 10, "dwell": "1 s"})
        return str(checks.judge(criteria, [reading]).outcome)

    assert outcome("72") == "conforms"
    assert outcome("71.9") == "does_not_conform"


@pytest.mark.parametrize(
    "fact",
    [
        "3 times the size",
        "0.3 to 0.4 mm",
        "260 °C",
        "50 mm diameter and more",
        "10 mm apart",
        "10 to 16 in",
        "above 18 in",
        "spark-free",
        "about 10 s",
        "about 100 mm before the leak",
        "at least 50 %",
        "about 30 s at 30 °C",
    ],
)
def test_the_wrap_asks_what_the_trade_asks(fact: str) -> None:
    items = [
        item["asked"]
        for step in TEMPLATES["composite_wrap"].steps
        for item in step.criteria.get("items", [])
    ]

    assert any(fact in asked for asked in items)


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
            least = step.criteria.get("min", "330 um")
            return [{"values": [least]} for _ in range(10)]
        case "profile" if template != "composite_wrap":
            value = {"filler_rebuild": "4.1 mil", "protective_coating": "62 um"}[template]
            return [{"location": n, "values": [value]} for n in "abc"]
    return READINGS[step.characteristic]


@pytest.mark.django_db
@pytest.mark.parametrize("template", TEMPLATES)
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
    agree_plan(repair_id=entry.repair_id, **act_on(people, Party.CLIENT))
    return Repair.objects.get(pk=entry.repair_id)


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
    assert entry.payload["verdict"]["outcome"] == "conforms", entry.payload["verdict"]["findings"]
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
