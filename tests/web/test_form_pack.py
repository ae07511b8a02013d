"""The form pack: a fault is named where it is, a unit is heard as well as seen."""

from __future__ import annotations

import re
from typing import Any

import pytest
from crispy_forms.helper import FormHelper
from crispy_forms.layout import (
    ButtonHolder,
    Column,
    Div,
    Fieldset,
    Hidden,
    Layout,
    Row,
    Submit,
)
from django import forms
from django.template import engines

from qc.web.templatetags.form_parts import first_input, unit_of

HOSTILE = "<script>alert(1)</script>"
SIGNED = {"data-signed": "", "data-unit": "°C"}


class Ambient(forms.Form):
    """A form with one field of every kind the pages use."""

    use_required_attribute = False

    air = forms.DecimalField(
        label="Air temperature",
        help_text="Out of the sun",
        widget=forms.TextInput(attrs=SIGNED),
    )
    humidity = forms.DecimalField(
        label="Humidity", required=False, widget=forms.TextInput(attrs={"inputmode": "decimal"})
    )
    seen_at = forms.SplitDateTimeField(label="Observed")
    grade = forms.ChoiceField(
        label="Grade", choices=[("st2", "St 2"), ("st3", "St 3")], widget=forms.RadioSelect
    )
    seen = forms.MultipleChoiceField(
        label="Seen", choices=[("dew", "Dew")], widget=forms.CheckboxSelectMultiple
    )
    wet = forms.BooleanField(label="Moisture is visible")
    gauge = forms.ChoiceField(label="Instrument", choices=[("h7", "H-07")])
    photograph = forms.FileField(label="Photograph")
    act_id = forms.CharField(widget=forms.HiddenInput)


def with_helper(form: forms.Form) -> forms.Form:
    form.helper = FormHelper()  # type: ignore[attr-defined]
    form.helper.form_class = "ambient"  # type: ignore[attr-defined]
    form.helper.attrs = {"data-next-on-enter": True}  # type: ignore[attr-defined]
    form.helper.layout = Layout(  # type: ignore[attr-defined]
        Fieldset("Air and steel", Row("air", Column("humidity")), "seen_at"),
        Div("grade", "seen", "wet", "gauge", "photograph", "act_id", css_class="rest"),
        Hidden("round", "2"),
        ButtonHolder(Submit("keep", "Record and judge"), Submit("x", "Later", css_class="plain")),
    )
    return form


def draw(form: Any, source: str = "{% crispy form %}") -> str:
    template = engines["django"].from_string("{% load crispy_forms_tags %}" + source)
    return template.render({"form": form, "csrf_token": "token"})


def tag_of(field_id: str, drawn: str) -> str:
    found = re.search(rf'<\w+[^>]*\bid="{field_id}"[^>]*>', drawn)
    assert found, f"no element with id {field_id}"
    return found[0]


def test_a_whole_form_posts_without_the_browsers_own_checks() -> None:
    drawn = draw(with_helper(Ambient()))
    opening = re.search(r"<form[^>]*>", drawn)
    assert opening
    assert 'class="form ambient"' in opening[0]
    assert opening[0].count("class=") == 1
    for part in (' method="post"', " novalidate", " data-next-on-enter", "multipart/form-data"):
        assert part in opening[0]
    assert "csrfmiddlewaretoken" in drawn
    assert "<legend>Air and steel</legend>" in drawn


def test_the_first_button_is_the_main_one_and_a_plain_one_is_not() -> None:
    drawn = draw(with_helper(Ambient()))
    assert 'class="main ' in tag_of("submit-id-keep", drawn)
    assert "main" not in tag_of("submit-id-x", drawn)
    assert '<input type="hidden" name="round" value="2">' in drawn


@pytest.mark.parametrize("source", ["{% crispy form %}", "{{ form|crispy }}"])
def test_a_unit_stands_beside_the_box_and_in_the_accessible_name(source: str) -> None:
    drawn = draw(with_helper(Ambient()), source)
    assert '<span class="unit" aria-hidden="true">°C</span>' in drawn
    label = re.search(r'<label for="id_air"[^>]*>(.*?)</label>', drawn, re.DOTALL)
    assert label
    assert re.sub(r"<[^>]+>", "", label[1]).strip() == "Air temperature, in °C"


def test_a_unit_given_by_the_field_comes_before_the_widgets() -> None:
    form = Ambient()
    form.fields["air"].unit = "°F"  # type: ignore[attr-defined]
    assert unit_of(form["air"]) == "°F"
    assert unit_of(form["humidity"]) == ""


def test_no_field_is_a_number_field_and_a_signed_one_keeps_its_keyboard() -> None:
    drawn = draw(with_helper(Ambient()))
    assert 'type="number"' not in drawn
    assert "inputmode" not in tag_of("id_air", drawn)
    assert "data-signed" in tag_of("id_air", drawn)
    assert 'inputmode="decimal"' in tag_of("id_humidity", drawn)


def test_a_form_without_faults_has_no_summary() -> None:
    drawn = draw(with_helper(Ambient()))
    assert "error-summary" not in drawn
    assert "aria-invalid" not in drawn


@pytest.mark.parametrize("source", ["{% crispy form %}", "{{ form|crispy }}"])
def test_a_fault_is_summed_up_linked_and_named_at_its_field(source: str) -> None:
    drawn = draw(with_helper(Ambient({"air": "24,3x"})), source)
    summary = drawn[drawn.index("error-summary") :]
    assert 'tabindex="-1" autofocus' in summary
    assert '<a href="#id_air">Air temperature: Enter a number.</a>' in summary
    box = tag_of("id_air", drawn)
    assert 'aria-invalid="true"' in box
    assert 'aria-describedby="id_air_helptext id_air_error"' in box
    assert 'value="24,3x"' in box
    assert "Out of the sun" in drawn[drawn.index('id="id_air_helptext"') :][:80]
    assert "Enter a number." in drawn[drawn.index('id="id_air_error"') :][:120]


def test_every_link_of_the_summary_lands_on_an_input() -> None:
    drawn = draw(with_helper(Ambient({})))
    targets = re.findall(r'<a href="#([^"]+)"', drawn)
    assert len(targets) == 7
    for target in targets:
        assert tag_of(target, drawn).startswith(("<input", "<select"))


def test_a_fault_of_a_hidden_field_is_told_without_a_link() -> None:
    drawn = draw(with_helper(Ambient({})))
    assert "<li>Act id: This field is required.</li>" in drawn


def test_a_group_of_choices_has_a_legend_tiles_and_its_fault() -> None:
    drawn = draw(with_helper(Ambient({})))
    fieldset = tag_of("div_id_grade", drawn)
    assert fieldset.startswith("<fieldset")
    assert 'aria-describedby="id_grade_error"' in fieldset
    assert re.search(r'<label class="tile" for="id_grade_1"><input type="radio"', drawn)
    assert re.search(r'<label class="tile" for="id_seen_0"><input type="checkbox"', drawn)
    assert re.search(r'<label class="tile" for="id_wet"><input type="checkbox"', drawn)
    assert drawn.count('for="id_wet"') == 1


def test_an_optional_field_says_so() -> None:
    drawn = draw(with_helper(Ambient()))
    assert drawn.count("(optional)") == 1


def test_first_input_of_several_is_the_first_of_them() -> None:
    form = Ambient()
    assert first_input(form["seen_at"]) == "id_seen_at_0"
    assert first_input(form["air"]) == "id_air"


def test_each_of_several_inputs_says_which_part_it_is() -> None:
    form = Ambient()
    date, time = form.fields["seen_at"].widget.widgets
    date.input_type = "date"
    time.attrs["aria-label"] = "Clock time"
    drawn = draw(with_helper(form))
    assert 'aria-label="Observed, date"' in tag_of("id_seen_at_0", drawn)
    assert 'aria-label="Clock time"' in tag_of("id_seen_at_1", drawn)


def test_nothing_typed_or_named_becomes_markup() -> None:
    form = Ambient({"air": HOSTILE})
    form.fields["air"].label = HOSTILE
    form.fields["air"].help_text = HOSTILE
    form.fields["air"].widget.attrs["data-unit"] = HOSTILE
    form.add_error(None, HOSTILE)
    form.add_error("grade", HOSTILE)
    drawn = draw(with_helper(form))
    assert "<script" not in drawn
    assert "&lt;script&gt;" in drawn


def test_fields_of_two_forms_on_a_page_keep_apart() -> None:
    drawn = draw(Ambient({}, prefix="b"), "{{ form|crispy }}")
    assert 'id="errors-b"' in drawn
    assert '<a href="#id_b-air">' in drawn


def test_a_formset_draws_each_form_and_its_own_fault() -> None:
    rows = forms.formset_factory(Ambient, extra=2, max_num=1, validate_max=True)
    formset = rows({"form-TOTAL_FORMS": "2", "form-INITIAL_FORMS": "0", "form-0-air": "x"})
    formset.helper = FormHelper()  # type: ignore[attr-defined]
    for source in ("{% crispy form %}", "{{ form|crispy }}"):
        drawn = draw(formset, source)
        assert 'name="form-TOTAL_FORMS"' in drawn
        assert '<a href="#id_form-0-air">Air temperature: Enter a number.</a>' in drawn
        assert 'id="id_form-1-air"' in drawn
