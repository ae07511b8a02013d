"""The shipped plan templates: sourced, complete, and sensible in what they ask of whom."""

import re
from typing import Any

import pytest

from qc.engine.characteristic import Characteristic
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.plan import Intervention, Party
from qc.records.models import PlanStep
from qc.records.templates import PlanTemplate, StepTemplate, plan_templates

TEMPLATES = plan_templates()
STEPS = [
    pytest.param(step, id=f"{template.key}-{step.key}")
    for template in TEMPLATES.values()
    for step in template.steps
]
READ = (
    "IMO guideline on blasting conditions, 3.3",
    "IMO MSC.1/Circ.1378",
    "MIL-HDBK-1110",
    "UFGS 09972 and 09973",
    "UFGS 09970 to 09973",
    "UFGS 09971",
    "ASTM D4285",
    "ASTM D4541-22",
    "ASTM D7091-05, scope",
)
"""The standards of which the cited place was read."""

ON_NO_TEMPLATE = {
    "degree_of_cure": "a laboratory measures it, to qualify a system or in a dispute",
}
"""Characteristics that a plan asks for only by agreement, with the reason."""

PLAIN = {
    "ambient",
    "condition",
    "cleanliness",
    "profile",
    "final",
}
"""Steps that every template has, by key."""


def test_the_templates_are_shipped() -> None:
    assert set(TEMPLATES) == {
        "composite_wrap",
        "composite_wrap_tested",
        "filler_rebuild",
        "filler_rebuild_tested",
        "immersion_lining",
        "protective_coating",
    }


def test_together_they_use_every_characteristic_but_those_that_are_excused() -> None:
    used = {step.characteristic for template in TEMPLATES.values() for step in template.steps}

    assert set(CHARACTERISTICS) - used == set(ON_NO_TEMPLATE)


@pytest.mark.parametrize("template", TEMPLATES.values(), ids=TEMPLATES)
def test_every_template_goes_from_the_condition_found_to_the_finished_repair(
    template: PlanTemplate,
) -> None:
    keys = [step.key for step in template.steps]

    assert set(keys) >= PLAIN
    assert (keys[0], keys[-1]) == ("condition", "final")


@pytest.mark.parametrize("step", STEPS)
def test_the_engine_takes_the_criteria_and_asks_for_readings(step: StepTemplate) -> None:
    checks = CHARACTERISTICS[step.characteristic]
    criteria = checks.parse_criteria(dict(step.criteria), step.sources)

    assert checks.judge(criteria, []).outcome == "incomplete"


@pytest.mark.parametrize("base", ["composite_wrap", "filler_rebuild"])
def test_a_tested_template_is_its_base_with_a_pressure_test_before_the_last_look(
    base: str,
) -> None:
    plain, tested = TEMPLATES[base], TEMPLATES[f"{base}_tested"]
    *before, test, last = tested.steps

    assert (*before, last) == plain.steps
    assert test.characteristic == "pressure_test"
    assert set(plain.cautions) < set(tested.cautions)


@pytest.mark.parametrize("template", TEMPLATES.values(), ids=TEMPLATES)
def test_what_a_plan_has_to_state_is_a_criterion_that_no_template_offers(
    template: PlanTemplate,
) -> None:
    steps = {step.key: step for step in template.steps}

    for key, names in template.to_state.items():
        known = {field.name for field in CHARACTERISTICS[steps[key].characteristic].criteria}
        assert set(names) <= known - set(steps[key].criteria)


def test_a_test_pressure_is_never_offered() -> None:
    for key in ("composite_wrap_tested", "filler_rebuild_tested"):
        assert TEMPLATES[key].to_state == {"pressure_test": ("design_pressure", "pressure_min")}


def test_the_voltage_of_a_continuity_test_stands_with_standard_and_edition() -> None:
    tests = [s for t in TEMPLATES.values() for s in t.steps if s.characteristic == "continuity"]

    assert tests
    for step in tests:
        assert {"voltage", "standard", "edition"} <= set(step.criteria)
        assert str(step.criteria["edition"]) in step.sources["voltage"]


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
    assert set(step.points.values()) <= set(Intervention)


@pytest.mark.parametrize("step", STEPS)
def test_the_inspector_is_never_a_mere_onlooker_and_the_contractor_never_holds(
    step: StepTemplate,
) -> None:
    assert step.points[Party.INSPECTOR] != Intervention.SURVEILLANCE
    assert step.points[Party.CONTRACTOR] in (Intervention.SURVEILLANCE, Intervention.REVIEW)


@pytest.mark.parametrize("step", STEPS)
def test_a_test_that_cannot_be_repeated_afterwards_is_witnessed_by_the_client(
    step: StepTemplate,
) -> None:
    if step.characteristic in ("pressure_test", "adhesion", "continuity"):
        assert step.points[Party.CLIENT] == Intervention.WITNESS


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
    steps = TEMPLATES["composite_wrap"].steps
    items = [item["asked"] for step in steps for item in step.criteria.get("items", [])]
    sources = [source for step in steps for source in step.sources.values()]

    assert any(fact in text for text in (*items, *sources))


@pytest.mark.parametrize("checks", CHARACTERISTICS.values(), ids=CHARACTERISTICS)
def test_a_field_belongs_to_a_choice_that_every_reading_makes(checks: Characteristic) -> None:
    fields = {field.name: field for field in checks.reading}

    for field in checks.reading:
        if field.only_where:
            name, _, choice = field.only_where.partition("=")
            assert choice in fields[name].choices
            assert fields[name].required
