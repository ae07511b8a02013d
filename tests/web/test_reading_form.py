"""The entry form follows from what a characteristic declares and what the plan asks."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from django.http import QueryDict

from qc.engine.characteristics import ALL
from qc.engine.fields import Kind
from qc.records.models import Inspection
from qc.web.forms.observation import ObservationForm
from tests.factories import (
    AMBIENT,
    HARDNESS,
    NOON,
    SHORT_PLAN,
    THICKNESS,
    record,
    repair_on_site,
)
from tests.people import People
from tests.web.entering import errors, form_for, posted, step_of, work_for
from tests.web.visitor import sent


@pytest.mark.parametrize("characteristic", ALL, ids=lambda c: c.key)
def test_every_field_that_is_declared_can_be_entered(people: People, characteristic: Any) -> None:
    """A characteristic is written once: no field of a reading is left out of its form."""
    form = form_for(people, step_of(characteristic.key))
    row = form.rows[0]
    for field in characteristic.reading:
        assert row.names_of(field) or field.name in row.fixed, field.name
    shown = [bound.name for part in form.rows_shown for bound in (*part.first, *part.more)]
    assert sorted(shown) == sorted(line.name for row in form.rows for line in row.lines)


@pytest.mark.parametrize("characteristic", ALL, ids=lambda c: c.key)
def test_no_field_is_a_number_spinner_and_every_quantity_shows_its_unit(
    people: People, characteristic: Any
) -> None:
    form = form_for(people, step_of(characteristic.key))
    drawn = form.as_p()
    assert 'type="number"' not in drawn
    for row in form.rows:
        for line in row.lines:
            if line.declared.kind is Kind.QUANTITY:
                widget = form.fields[line.name].widget
                assert widget.attrs["data-unit"], line.name


@pytest.mark.parametrize(
    ("criteria", "units", "unit"),
    [
        ({"rule": "minimum", "min": "5 mm"}, "metric", "mm"),
        ({"rule": "pa2", "min": "8 mil", "max": "12 mil"}, "metric", "mil"),
        ({"rule": "iso19840", "nominal": "300 um"}, "us", "µm"),
    ],
)
def test_the_unit_is_that_of_the_criterion(
    people: People, criteria: dict[str, Any], units: str, unit: str
) -> None:
    form = form_for(people, step_of("thickness", criteria=criteria), units=units)
    assert form.fields["r1-values"].widget.attrs["data-unit"] == unit


@pytest.mark.parametrize(("units", "unit"), [("metric", "°C"), ("us", "°F")])
def test_where_no_criterion_has_the_kind_the_unit_is_that_of_the_project(
    people: People, units: str, unit: str
) -> None:
    form = form_for(people, step_of("ambient"), units=units)
    assert form.fields["r1-air"].widget.attrs["data-unit"] == unit


def test_a_minus_can_be_typed_where_the_range_goes_below_zero_only(people: People) -> None:
    form = form_for(people, step_of("ambient"))
    assert "data-signed" in form.fields["r1-air"].widget.attrs
    assert "inputmode" not in form.fields["r1-air"].widget.attrs
    assert form.fields["r1-humidity"].widget.attrs["inputmode"] == "decimal"
    assert "data-signed" not in form.fields["r1-humidity"].widget.attrs


def test_what_the_criteria_do_not_ask_for_is_folded_away(people: People) -> None:
    form = form_for(people, step_of("ambient", criteria={"margin_min": "3 delta_degC"}))
    (row,) = form.rows_shown
    assert [f.name for f in row.first] == [
        "r1-at",
        "r1-air",
        "r1-humidity",
        "r1-steel",
        "r1-moisture_visible",
    ]
    assert "r1-wet_bulb" in [f.name for f in row.more]
    assert not row.is_open


def test_what_was_entered_last_time_is_not_folded_away(people: People) -> None:
    repair = repair_on_site(people)
    reading = {
        "at": "2026-05-12T11:00+00:00",
        "air": "21 degC",
        "wet_bulb": "17 degC",
        "pressure": "1013.25 hPa",
        "steel": ["19 degC"],
    }
    record(people, repair, AMBIENT, [reading])
    (row,) = ObservationForm.for_entry(work_for(repair, AMBIENT)).rows_shown
    assert {"r1-wet_bulb", "r1-pressure"} <= {f.name for f in row.first}


def test_a_criterion_decides_by_its_value_however_it_is_spelled(people: People) -> None:
    step = step_of("hardness", criteria={"scale": "Shore D", "min": "75"})
    (row,) = form_for(people, step).rows_shown
    assert "r1-values" in [f.name for f in row.first]


@pytest.mark.parametrize(
    ("criteria", "first"),
    [
        ({"required": "SP 11"}, True),
        ({"required": "SSPC-SP 11"}, True),
        ({"required": "sp15"}, True),
        ({"required": "St 3", "equivalents": [["St 3", "SSPC-SP 11"]]}, True),
        ({"required": "St 3", "equivalents": "St 3 = SP 15"}, True),
        ({"required": "SP 6"}, False),
        ({"required": "Sa 2", "equivalents": [["Sa 2", "SP 6"]]}, False),
    ],
)
def test_the_profile_is_asked_for_where_a_grade_that_includes_one_may_decide(
    people: People, criteria: dict[str, Any], first: bool
) -> None:
    (row,) = form_for(people, step_of("cleanliness", criteria=criteria)).rows_shown
    assert ("r1-profile" in [f.name for f in row.first]) is first
    assert ("r1-profile" in [f.name for f in row.more]) is not first


def test_a_list_has_as_many_boxes_as_the_criteria_ask_values(people: People) -> None:
    criteria = {"max": "60 um", "method": "depth_micrometer", "readings_min": 10}
    form = form_for(people, step_of("profile", criteria=criteria))
    assert form["r1-values"].as_widget().count("<input") == 10


def test_figures_of_a_list_are_read_from_all_boxes_and_several_from_one(people: People) -> None:
    form = posted(
        form_for(people, step_of("thickness")), r1_values=["5,6", "", "6.1 5.2", "0.2 in"]
    )
    assert form.is_valid(), form.errors
    (reading,) = form.said()["observation"].readings
    assert reading["values"] == ["5.6 mm", "6.1 mm", "5.2 mm", "0.2 in"]


def test_what_was_typed_is_kept_letter_by_letter(people: People) -> None:
    form = posted(
        form_for(people, step_of("ambient")),
        r1_air="70 °F",
        r1_humidity=" 60,0 ",
        r1_steel=["19", "- 2"],
        r1_moisture_visible="no",
    )
    assert form.is_valid(), form.errors
    said = form.said()["observation"]
    assert said.readings[0]["air"] == "70 degF"
    assert said.readings[0]["steel"] == ["19 degC", "-2 degC"]
    assert said.readings[0]["moisture_visible"] is False
    assert said.as_typed[0]["air"] == "70 °F"
    assert said.as_typed[0]["humidity"] == "60,0"
    assert said.as_typed[0]["steel"] == ["19", "- 2"]
    assert set(said.as_typed[0]) == set(said.readings[0])


def test_a_time_is_that_of_the_site_and_stands_at_now(people: People) -> None:
    form = form_for(people, step_of("ambient"))
    assert form["r1-at"].value() == NOON.astimezone(form.work.zone).replace(tzinfo=None)
    form = posted(form, r1_air="21")
    assert form.is_valid(), form.errors
    observation = form.said()["observation"]
    assert observation.readings[0]["at"] == "2026-05-12T12:00+01:00"
    assert observation.observed_at == NOON


def test_the_latest_reading_says_when_it_was_observed(people: People) -> None:
    form = form_for(people, step_of("cure", rows=2))
    form = posted(
        form,
        r1_at="2026-05-12T10:00",
        r1_temperature="21",
        r2_at="2026-05-12 08:30",
        r2_temperature="20",
    )
    assert form.is_valid(), form.errors
    assert form.said()["observation"].observed_at == NOON - timedelta(hours=2)


@pytest.mark.parametrize(
    ("name", "typed", "message"),
    [
        ("r1_air", "twenty", "twenty is not a number such as 12.5"),
        ("r1_air", "1,234", "1,234 can mean 1.234 or 1234: type one of these"),
        ("r1_air", "99", "99 °C is above 60 °C, the most allowed"),
        ("r1_humidity", "-5", "-5 % is below 1 %, the least allowed"),
        ("r1_air", "21 kPa", "kPa is not a unit of this field: type °C or °F or K"),
        ("r1_at", "2026-05-12", "2026-05-12 has no time: type it as 2026-05-12 09:30"),
        ("r1_at", "noon", "noon is not a day and time: type it as 2026-05-12 09:30"),
        (
            "r1_at",
            "2026-05-12T13:00",
            "12 May 2026 13:00 lies ahead: at the site it is 12 May 2026 12:00.",
        ),
        ("r1_moisture_visible", "perhaps", "Choose yes or no"),
    ],
)
def test_a_wrong_entry_is_named_with_what_is_allowed_and_stays(
    people: People, name: str, typed: str, message: str
) -> None:
    entered = {"r1_air": "21", "r1_humidity": "60", name: typed}
    form = posted(form_for(people, step_of("ambient")), **entered)
    assert not form.is_valid()
    said = errors(form)[name.replace("_", "-", 1)]
    assert [text.replace("\xa0", " ") for text in said] == [message]
    assert form[name.replace("_", "-", 1)].value() == typed


def test_an_empty_form_is_no_reading(people: People) -> None:
    form = posted(form_for(people, step_of("ambient")))
    assert errors(form)["__all__"] == ["Nothing has been entered: enter at least one reading."]


def test_empty_rows_are_left_out(people: People) -> None:
    form = posted(form_for(people, step_of("thickness", rows=4)), r2_values=["5.5"])
    assert form.is_valid(), form.errors
    assert form.said()["observation"].readings == [{"values": ["5.5 mm"]}]


def test_a_row_in_use_says_what_it_lacks(people: People) -> None:
    form = posted(
        form_for(people, step_of("cure", rows=3)),
        r1_temperature="20",
        r2_at="2026-05-12T10:00",
        r3_temperature="20",
    )
    assert set(errors(form)) == {"r2-temperature", "r3-at"}
    assert errors(form)["r3-at"] == ["Time is missing: enter it, or clear the entire reading."]


def test_a_line_of_a_group_says_what_it_lacks_and_an_empty_one_is_left_out(
    people: People,
) -> None:
    form = form_for(people, step_of("mixing", criteria={"duration_min": "4 min"}))
    start = {"r1_mix_start": "2026-05-12T11:00", "r1_mix_end": "2026-05-12T11:05"}
    lacking = posted(form, **start, r1_uses_0_where="R-014")
    assert set(errors(lacking)) == {"r1-uses-0-first_use", "r1-uses-0-last_use"}
    whole = posted(
        form,
        **start,
        r1_uses_1_where="R-014",
        r1_uses_1_first_use="2026-05-12T11:10",
        r1_uses_1_last_use="2026-05-12T11:20",
    )
    assert whole.is_valid(), whole.errors
    (reading,) = whole.said()["observation"].readings
    assert [use["where"] for use in reading["uses"]] == ["R-014"]


def test_there_are_as_many_rows_as_the_sampling_asks_less_those_taken(people: People) -> None:
    steps = [replace(SHORT_PLAN[THICKNESS - 1], rows=4)]
    repair = repair_on_site(people, steps)
    assert len(ObservationForm.for_entry(work_for(repair, 1)).rows) == 4
    record(people, repair, 1, [{"values": ["5.6 mm"]}, {"values": ["5.6 mm"]}])
    assert len(ObservationForm.for_entry(work_for(repair, 1)).rows) == 2
    record(people, repair, 1, [{"values": ["5.6 mm"]}] * 3)
    assert len(ObservationForm.for_entry(work_for(repair, 1)).rows) == 1


def test_a_checklist_has_a_row_for_each_line_that_is_not_answered(people: People) -> None:
    repair = repair_on_site(people, [step_of("visual")])
    record(people, repair, 1, [{"item": "Cracks", "accepted": True}])
    form = ObservationForm.for_entry(work_for(repair, 1))
    assert [row.title for row in form.rows] == ["Width"]
    assert "40 mm" in form.rows[0].asked
    form = posted(form, r2_accepted="yes", r2_value="42,5")
    assert form.is_valid(), form.errors
    assert form.said()["observation"].readings == [
        {"item": "Width", "accepted": True, "value": "42.5 mm"}
    ]


def test_a_dimension_is_asked_first_on_the_lines_that_limit_it_only(people: People) -> None:
    cracks, width = form_for(people, step_of("visual")).rows_shown
    assert "r1-value" in [f.name for f in cracks.more]
    assert "r2-value" in [f.name for f in width.first]


def test_zones_of_the_plan_are_chosen_and_not_typed(people: People) -> None:
    zones = [{"zone": "Over the leak", "min": "10 mm"}, {"zone": "Elsewhere", "min": "5 mm"}]
    form = form_for(people, step_of("thickness", criteria={"rule": "minimum", "zones": zones}))
    choices = [value for value, _ in form.fields["r1-zone"].widget.choices if value]
    assert choices == ["Over the leak", "Elsewhere"]


def test_more_room_keeps_what_was_typed(people: People) -> None:
    form = form_for(people, step_of("thickness"))
    data = QueryDict(mutable=True)
    typed = {"r1_zone": "weld", "r1_values": ["5.x", "6", "7"], "remarks": "in rain"}
    for name, value in sent(form, **typed).items():
        data.setlist(name, value if isinstance(value, list) else [value])
    roomier = ObservationForm.for_entry(form.work, data).roomier(data)
    assert not roomier.is_bound
    assert len(roomier.rows) == 4
    assert roomier["r1-zone"].value() == "weld"
    assert roomier["remarks"].value() == "in rain"
    drawn = roomier["r1-values"].as_widget()
    assert 'value="5.x"' in drawn
    assert drawn.count("<input") == 6
    assert roomier["act_id"].value() == data["act_id"]


def test_after_a_verdict_that_does_not_conform_the_form_asks_what_was_done(people: People) -> None:
    repair = repair_on_site(people, [replace(SHORT_PLAN[HARDNESS - 1])])
    record(people, repair, 1, [{"values": ["60", "60", "60", "60", "60"]}])
    form = posted(ObservationForm.for_entry(work_for(repair, 1)), r1_values=["80"] * 5)
    assert errors(form)["rework"] == ["Say what was done since the verdict did not conform."]
    assert Inspection.objects.count() == 1
