"""Changing the limits of a step: what the engine does not take cannot be saved."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from qc.engine.plan import Party
from qc.records.models import Plan, Repair
from qc.records.queries import plan_in_force
from qc.records.templates import StepTemplate, plan_templates
from qc.workflow.plan_markup import steps_marked_up
from tests.factories import (
    AMBIENT,
    HARDNESS,
    SHORT_PLAN,
    THICKNESS,
    finished_repair,
    planned_repair,
    put_signature,
    repair_on_site,
)
from tests.people import People
from tests.web.visitor import enter, sent, signed_in, text_of


def address(repair: Repair, position: int) -> str:
    key = steps_marked_up(repair)[position - 1].key
    return f"/repairs/{repair.pk}/plan/edit/steps/{key}/limits/"


def change(people: People, repair: Repair, position: int, **typed: Any) -> Any:
    """Carl changes what the page shows and sends it."""
    return enter(signed_in(people.carl), address(repair, position), **typed)


def step_of(repair: Repair, position: int) -> StepTemplate:
    """A step as it is marked up."""
    return steps_marked_up(repair)[position - 1]


def a_step(characteristic: str, criteria: Mapping[str, Any]) -> StepTemplate:
    return replace(
        SHORT_PLAN[0],
        characteristic=characteristic,
        criteria=dict(criteria),
        sources=dict.fromkeys(criteria, "common practice"),
        instrument_kinds=(),
    )


def test_a_changed_limit_is_marked_up_with_its_source(people: People) -> None:
    repair = planned_repair(people)
    page = change(people, repair, AMBIENT, c_margin_min="5", s_margin_min="design DN-7")
    assert page.redirect_chain == [(f"/repairs/{repair.pk}/plan/edit/#step-ambient", 302)]
    assert plan_in_force(repair).revision == 2
    step = step_of(repair, AMBIENT)
    assert step.criteria == {"margin_min": "5 delta_degC", "humidity_max": "85 %"}
    assert step.sources == {"margin_min": "design DN-7", "humidity_max": "common practice"}


def test_the_other_steps_stay_as_they_were(people: People) -> None:
    repair = planned_repair(people)
    change(people, repair, AMBIENT, c_margin_min="5")
    assert step_of(repair, THICKNESS).criteria == SHORT_PLAN[THICKNESS - 1].criteria
    assert step_of(repair, HARDNESS).points == SHORT_PLAN[HARDNESS - 1].points


def test_a_limit_is_added_and_another_taken_out(people: People) -> None:
    repair = planned_repair(people)
    change(
        people,
        repair,
        AMBIENT,
        c_humidity_max="",
        c_air_min="10 °C",
        s_air_min="data sheet of the coating",
    )
    assert step_of(repair, AMBIENT).criteria == {
        "margin_min": "3 delta_degC",
        "air_min": "10 degC",
    }
    assert "humidity_max" not in step_of(repair, AMBIENT).sources


def test_a_limit_keeps_the_unit_it_was_stated_in_and_takes_another(people: People) -> None:
    repair = planned_repair(people)
    form = signed_in(people.carl).get(address(repair, THICKNESS)).context["form"]
    assert form["c-min"].value() == "5"
    assert form["c-min"].field.widget.attrs["data-unit"] == "mm"
    change(people, repair, THICKNESS, c_min="0,2 in")
    assert step_of(repair, THICKNESS).criteria["min"] == "0.2 in"


@pytest.mark.parametrize(
    ("position", "typed", "field", "words"),
    [
        (AMBIENT, {"c_margin_min": "three"}, "c-margin_min", "three is not a number"),
        (AMBIENT, {"c_margin_min": "3 mm"}, "c-margin_min", "is not a unit of this field"),
        (AMBIENT, {"c_humidity_max": "1,234"}, "c-humidity_max", "can mean 1.234 or 1234"),
        (THICKNESS, {"c_min": "-5"}, "c-min", "below 0"),
        (
            THICKNESS,
            {"c_max": "4", "s_max": "x"},
            "c-min",
            'is above "Maximum thickness"',
        ),
        (THICKNESS, {"c_max": "9"}, "s-max", "Every criterion states its source"),
        (THICKNESS, {"s_min": " "}, "s-min", "Every criterion states its source"),
        (THICKNESS, {"c_rule": ""}, "c-rule", "Is required"),
        (HARDNESS, {"c_readings_min": "4.5"}, "c-readings_min", "is not a whole number"),
        (HARDNESS, {"c_min": "120"}, "c-min", "above 100"),
    ],
)
def test_a_senseless_limit_is_named_beside_its_field_and_not_saved(
    people: People, position: int, typed: dict[str, str], field: str, words: str
) -> None:
    repair = planned_repair(people)
    page = change(people, repair, position, **typed)
    assert page.status_code == 200
    errors = page.context["form"].errors
    assert words in " ".join(errors[field]), errors
    assert Plan.objects.filter(repair=repair).count() == 2


def test_what_was_typed_is_still_there_after_an_error(people: People) -> None:
    page = change(
        people, planned_repair(people), THICKNESS, c_min="5.5", s_min="note 3", c_max="4", s_max="x"
    )
    written = page.content.decode()
    assert all(f'value="{text}"' in written for text in ("5.5", "note 3", "4"))
    assert "<title>Error: " in written


def test_a_change_that_changes_nothing_is_refused(people: People) -> None:
    page = change(people, planned_repair(people), AMBIENT)
    assert "Nothing differs from the plan: change a limit or its source." in text_of(page)


def test_a_new_source_alone_is_a_change(people: People) -> None:
    repair = planned_repair(people)
    change(people, repair, AMBIENT, s_margin_min="IMO guideline on blasting conditions, 3.3")
    assert step_of(repair, AMBIENT).sources["margin_min"].startswith("IMO")


CURE = a_step("cure", {"table": {"20 degC": "60 min", "30 degC": "40 min"}, "mode": "log"})
ZONES = a_step(
    "thickness", {"rule": "minimum", "zones": [{"zone": "over the leak", "min": "10 mm"}]}
)
GRADES = a_step("cleanliness", {"required": "SP 6", "equivalents": [["SP 6", "SP 11"]]})
ITEMS = a_step("visual", {"items": [{"item": "Pad", "asked": "dry; no leak", "max": "12 mm"}]})


@pytest.mark.parametrize(
    ("step", "field", "shown"),
    [
        (CURE, "c-table", "20 °C = 60 min\n30 °C = 40 min"),
        (ZONES, "c-zones", "over the leak = 10 mm"),
        (GRADES, "c-equivalents", "SP 6 = SP 11"),
        (ITEMS, "c-items", "Pad = dry; no leak | Most: 12 mm"),
    ],
)
def test_tables_groups_and_pairs_are_shown_a_row_a_line(
    people: People, step: StepTemplate, field: str, shown: str
) -> None:
    page = signed_in(people.carl).get(address(planned_repair(people, [step]), 1))
    assert page.context["form"][field].value() == shown


@pytest.mark.parametrize(
    ("step", "field", "typed", "kept"),
    [
        (
            CURE,
            "table",
            "20 °C = 60 min\r\n\r\n86°F=0,5 h",
            {"20 degC": "60 min", "86 degF": "0.5 hour"},
        ),
        (CURE, "table", "20 degC=60min", {"20 degC": "60 min"}),
        (
            ZONES,
            "zones",
            "over the leak = 12 mm\nelsewhere=6 mm | Readings, at least: 8",
            [
                {"zone": "over the leak", "min": "12 mm"},
                {"zone": "elsewhere", "min": "6 mm", "readings_min": "8"},
            ],
        ),
        (GRADES, "equivalents", "SP 6 = Sa 2", [["SP 6", "Sa 2"]]),
        (
            ITEMS,
            "items",
            "Pad = dry | most: 10 mm | source: DN-7\nBands = | least: 8 mm",
            [
                {"item": "Pad", "asked": "dry", "max": "10 mm", "source": "DN-7"},
                {"item": "Bands", "min": "8 mm"},
            ],
        ),
    ],
)
def test_rows_are_taken_as_they_are_written(
    people: People, step: StepTemplate, field: str, typed: str, kept: Any
) -> None:
    repair = planned_repair(people, [step])
    page = change(people, repair, 1, **{f"c_{field}": typed})
    assert page.redirect_chain, page.context["form"].errors
    assert step_of(repair, 1).criteria[field] == kept


@pytest.mark.parametrize(
    ("step", "field", "typed", "words"),
    [
        (CURE, "table", "20 °C = 60 min\n30 °C", "Line 2: 30 °C has no ="),
        (CURE, "table", "20 °C = soon", "Line 1: soon is not a number"),
        (CURE, "table", "20 = 60 min", "Line 1: 20 has no unit: type it as 10 °C"),
        (CURE, "table", "20 °C = 60", "Line 1: 60 has no unit: type it as 10 min"),
        (ZONES, "zones", "over the leak = 12", "Line 1: 12 has no unit"),
        (CURE, "table", "20 mm = 60 min", "Line 1: mm is not a unit"),
        (CURE, "table", "20 °C = 60 min\n20 °C = 50 min", "stands twice in the table"),
        (CURE, "table", "20 °C = 60 min\n68 °F = 50 min", "stands twice in the table"),
        (ZONES, "zones", "over the leak", "Line 1: over the leak has no ="),
        (ZONES, "zones", "over the leak = thick", "Line 1: thick is not a number"),
        (ZONES, "zones", "a = 5 mm | Shots: 3", "Line 1: Shots: 3 is not known here"),
        (ZONES, "zones", "over the leak =", "is required"),
        (GRADES, "equivalents", "SP 6 = SP 99", "Line 1: 'SP 99' is not one of"),
        (GRADES, "equivalents", "SP 6", "Line 1: SP 6 has no ="),
    ],
)
def test_a_row_that_is_none_is_named_by_its_line(
    people: People, step: StepTemplate, field: str, typed: str, words: str
) -> None:
    page = change(people, planned_repair(people, [step]), 1, **{f"c_{field}": typed})
    found = " ".join(page.context["form"].errors[f"c-{field}"]).replace("\N{NO-BREAK SPACE}", " ")
    assert words in found
    assert typed.splitlines()[-1] in text_of(page).replace("&amp;", "&")


def test_a_choice_that_may_be_a_figure_takes_both(people: People) -> None:
    step = a_step("thickness", {"rule": "iso19840", "nominal": "300 um"})
    repair = planned_repair(people, [step])
    change(people, repair, 1, c_surface_profile="medium", s_surface_profile="design")
    assert step_of(repair, 1).criteria["surface_profile"] == "medium"
    change(people, repair, 1, c_surface_profile="30 µm")
    assert step_of(repair, 1).criteria["surface_profile"] == "30 um"


@pytest.mark.parametrize("template", sorted(plan_templates()))
def test_every_step_of_every_shipped_plan_can_be_opened_and_its_source_changed(
    people: People, template: str
) -> None:
    repair = planned_repair(people, plan_templates()[template].steps)
    for step in plan_in_force(repair).steps.all():
        name = next(iter(step.criteria))
        page = change(people, repair, step.position, **{f"s_{name}": "agreed at the desk"})
        assert page.redirect_chain, (step.title, page.context["form"].errors)
        again = step_of(repair, step.position)
        assert again.criteria == step.criteria
        assert again.sources == {**step.sources, name: "agreed at the desk"}


@pytest.mark.parametrize("who", ["ines", "clara"])
def test_the_other_parties_are_refused_with_the_reason(people: People, who: str) -> None:
    repair = planned_repair(people)
    data = sent(signed_in(people.carl).get(address(repair, AMBIENT)).context["form"])
    client = signed_in(getattr(people, who))
    data |= {"c-margin_min": "1"}
    for page in (client.get(address(repair, AMBIENT)), client.post(address(repair, AMBIENT), data)):
        assert page.status_code == 409
        assert "cannot revise plan; the contractor can." in text_of(page)
    assert Plan.objects.filter(repair=repair).count() == 2


def test_the_limits_of_an_agreed_plan_are_marked_up_too(people: People) -> None:
    repair = repair_on_site(people)
    change(people, repair, AMBIENT, c_margin_min="5")
    assert step_of(repair, AMBIENT).criteria["margin_min"] == "5 delta_degC"
    assert plan_in_force(repair).steps.get(position=1).criteria["margin_min"] == "3 delta_degC"


def test_what_was_typed_is_kept_when_the_repair_went_to_be_signed_meanwhile(
    people: People,
) -> None:
    repair = finished_repair(people)
    client = signed_in(people.carl)
    data = sent(client.get(address(repair, AMBIENT)).context["form"], c_margin_min="4.5")
    put_signature(people, repair, Party.INSPECTOR)
    page = client.post(address(repair, AMBIENT), data)
    assert page.status_code == 409
    assert 'value="4.5"' in page.content.decode()
    assert "it cannot revise plan now" in text_of(page)


def test_there_is_no_page_for_a_step_that_the_plan_has_not(people: People) -> None:
    repair = planned_repair(people)
    page = signed_in(people.carl).get(f"/repairs/{repair.pk}/plan/edit/steps/tape/limits/")
    assert page.status_code == 404
