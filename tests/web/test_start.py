"""Starting a repair: the contractor says what it is about and chooses the template of its plan."""

import re
from typing import Any

import pytest

from qc.accounts.models import Membership
from qc.records.models import Asset, Plan, Repair
from tests.factories import planned_repair
from tests.people import People, project
from tests.web.visitor import enter, sent, signed_in, text_of

ADDRESS = "/repairs/new/"
TYPED = {
    "number": "R-201",
    "title": "Wrap over sealed leak",
    "defect": "Pinhole leak, 4 mm, at 5 o'clock",
    "asset_tag": "6-CW-201",
    "asset_description": "Cooling-water return",
    "diameter": "168,3 mm",
    "wall": "7.11mm",
    "material": "Carbon steel",
    "template": "composite_wrap",
}


def start(people: People, **typed: Any) -> Any:
    """Carl fills in the page and sends it."""
    return enter(signed_in(people.carl), ADDRESS, **(TYPED | typed))


def test_a_repair_is_started_with_a_draft_of_its_plan(people: People) -> None:
    page = start(people)
    repair = Repair.objects.get()
    assert page.redirect_chain == [(f"/repairs/{repair.pk}/plan/", 302)]
    assert (repair.number, repair.stands_at, repair.units) == ("R-201", "planned", "metric")
    assert (repair.asset.diameter, repair.asset.wall) == ("168.3 mm", "7.11 mm")
    assert Plan.objects.get().template == "composite_wrap/shipped"
    assert "its plan is a draft" in text_of(page)


def test_sizes_keep_the_unit_they_were_typed_in(people: People) -> None:
    start(people, diameter="6.625 in", wall="0.28 in", units="us")
    repair = Repair.objects.get()
    assert (repair.asset.diameter, repair.asset.wall) == ("6.625 in", "0.28 in")
    assert repair.units == "us"


def test_the_form_offers_every_template_with_its_summary(people: People) -> None:
    words = text_of(signed_in(people.carl).get(ADDRESS))
    assert "Composite wrap over a sealed leak" in words
    assert "Protective coating" in words
    assert "cures on the pipe" in words


def test_sent_twice_the_form_starts_one_repair(people: People) -> None:
    client = signed_in(people.carl)
    data = sent(client.get(ADDRESS).context["form"], **TYPED)
    first, second = client.post(ADDRESS, data), client.post(ADDRESS, data)
    assert first.headers["Location"] == second.headers["Location"]
    assert Repair.objects.count() == 1


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"number": ""}, "Give the repair its number."),
        ({"title": ""}, "Say in a few words what is repaired."),
        ({"defect": ""}, "Say what is wrong"),
        ({"asset_tag": ""}, "Enter the tag of the pipe or steel"),
        ({"template": ""}, "Choose the template"),
        ({"number": "R" * 21}, "Number: 21 characters are more than 20."),
        ({"diameter": "168.3"}, "168.3 has no unit: type it such as 168.3 mm or 6.625 in."),
        ({"diameter": "thick mm"}, "thick is not a number"),
        ({"diameter": "20 degC"}, "is not a unit of this field"),
        ({"diameter": "0 mm"}, "0 mm is no size: it must be more than 0."),
        ({"wall": "-7 mm"}, "-7 mm is no size"),
        ({"wall": "1,234 mm"}, "can mean 1.234 or 1234"),
        ({"diameter": "100 mm", "wall": "51 mm"}, "51 mm is more than half of the diameter"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_typed_is_lost(
    people: People, typed: dict[str, str], words: str
) -> None:
    page = start(people, **typed)
    assert words in text_of(page)
    assert "<title>Error: " in page.content.decode()
    assert not Repair.objects.exists()
    kept = (TYPED | typed)["material"], (TYPED | typed)["asset_description"]
    assert all(text in page.content.decode() for text in kept)


def test_a_wall_of_half_the_diameter_is_a_solid_bar_and_passes(people: People) -> None:
    start(people, diameter="100 mm", wall="50 mm")
    assert Repair.objects.exists()


def test_a_number_that_is_taken_is_refused_with_what_was_typed(people: People) -> None:
    planned_repair(people, number="R-201")
    page = start(people)
    assert page.status_code == 409
    assert "The number R-201 is taken in this project." in text_of(page)
    assert "Pinhole leak, 4 mm, at 5" in page.content.decode()


def test_a_component_on_record_is_taken_as_it_stands(people: People) -> None:
    start(people)
    bare = dict.fromkeys(("asset_description", "diameter", "wall", "material"), "")
    start(people, number="R-202", **bare)
    assert Repair.objects.count() == 2
    assert Asset.objects.get().wall == "7.11 mm"


def test_other_sizes_for_a_component_on_record_are_not_dropped_in_silence(people: People) -> None:
    start(people)
    page = start(people, number="R-202", wall="9.53 mm")
    assert "6-CW-201 is on record as 7.11 mm: leave this empty" in text_of(page)
    assert Repair.objects.count() == 1


def test_tags_on_record_are_offered(people: People) -> None:
    start(people)
    page = signed_in(people.carl).get(ADDRESS).content.decode()
    assert re.search(r'<datalist id="tags">\s*<option value="6-CW-201">', page)
    assert 'list="tags"' in page


def test_only_one_project_needs_no_choosing_and_of_two_one_is_chosen(people: People) -> None:
    client = signed_in(people.carl)
    assert client.get(ADDRESS).context["form"]["project"].value() == people.project.pk
    second = project("TWO", "Second", {})
    Membership.objects.create(project=second, user=people.carl, party="contractor")
    form = client.get(ADDRESS).context["form"]
    assert form["project"].value() is None
    assert "Choose the project." in text_of(client.post(ADDRESS, sent(form, **TYPED)))
    client.post(ADDRESS, sent(form, project=str(second.pk), **TYPED))
    assert Repair.objects.get().project == second


def test_a_project_in_which_one_is_no_contractor_is_no_choice(people: People) -> None:
    page = start(people, project=str(people.elsewhere.pk))
    assert "You are not the contractor of that project." in text_of(page)
    assert not Repair.objects.exists()


@pytest.mark.parametrize("who", ["ines", "clara"])
def test_the_other_parties_start_no_repair(people: People, who: str) -> None:
    client = signed_in(getattr(people, who))
    for page in (client.get(ADDRESS), client.post(ADDRESS, TYPED)):
        assert page.status_code == 409
        assert "you are the contractor of no project" in text_of(page)
    assert not Repair.objects.exists()


FACTS = {
    "line": "6-CW-2010",
    "service": "Cooling water",
    "temperature": "-3,5 °C",
    "pressure": "3.2 bar",
    "design_temperature": "140 °F",
    "design_pressure": "145 psi",
    "defect_type": "through_wall",
    "defect_length": "70 mm",
    "defect_width": "2 in",
    "defect_depth": "3,4 mm",
    "defect_distance": "2.4 m",
    "defect_clock": "05:00",
    "defect_position": "from flange F3",
    "repair_class": "2",
    "design_life": "20  years",
    "next_inspection": "2999-05-31",
}


def test_component_defect_and_design_are_kept_with_their_units(people: People) -> None:
    start(people, **FACTS)
    repair = Repair.objects.get()
    asset = repair.asset
    assert (asset.temperature, asset.pressure) == ("-3.5 degC", "3.2 bar")
    assert (asset.design_temperature, asset.design_pressure) == ("140 degF", "145 psi")
    assert (repair.defect_length, repair.defect_width) == ("70 mm", "2 in")
    assert (repair.defect_clock, repair.design_life) == ("5", "20 years")
    assert repair.next_inspection.isoformat() == "2999-05-31"  # type: ignore[union-attr]
    page = text_of(signed_in(people.clara).get(f"/repairs/{repair.pk}/"))
    for said in ("Through-wall", "70 mm long, 2 in wide, 3.4 mm deep", "2.4 m from flange F3"):
        assert said in page
    assert "-3.5 °C, 3.2 bar" in page
    assert "does not design the repair" in page


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"temperature": "60"}, "60 has no unit: type it such as 60 °C or 140 °F."),
        ({"temperature": "-300 °C"}, "-300 °C is below absolute zero."),
        ({"design_pressure": "10 mm"}, "type Pa or hPa"),
        ({"pressure": "bar"}, "bar is not a number"),
        ({"defect_length": "0 mm"}, "0 mm is no size: it must be more than 0."),
        ({"defect_clock": "13"}, "13 is no clock position: type 1 to 12, such as 6 or 6:30."),
        ({"design_life": "20"}, "20 is no design life: type it such as 20 years or 18 months."),
        ({"next_inspection": "tomorrow"}, "tomorrow is not a day: type it as 2026-05-12."),
        ({"next_inspection": "2020-01-01"}, "2020-01-01 is past; it must be today or later."),
        ({"defect_type": "rust"}, "rust is no kind of defect that is known here."),
        ({"line": "x" * 61}, "Line: 61 characters are more than 60."),
    ],
)
def test_a_fact_that_makes_no_sense_is_named_at_its_field(
    people: People, typed: dict[str, str], words: str
) -> None:
    page = start(people, **(FACTS | typed))
    assert words in text_of(page)
    (name,) = typed
    assert page.context["form"].errors[name]
    assert not Repair.objects.exists()


BARE = {
    "number": "R-202",
    "title": "Another wrap",
    "defect": "Pitting",
    "template": "composite_wrap",
}


@pytest.mark.parametrize("asked", ["component={0}", "tag=6-CW-201", "tag=6-cw-201"])
def test_of_a_component_on_record_nothing_is_asked_again(people: People, asked: str) -> None:
    start(people, **FACTS)
    there = f"{ADDRESS}?{asked.format(Asset.objects.get().pk)}"
    page = signed_in(people.carl).get(there)
    words = text_of(page)
    assert "1 earlier repair on this component" in words
    assert "R-201" in words
    assert "7.11 mm" in words
    assert not {"asset_tag", "diameter", "wall", "project"} & set(page.context["form"].fields)
    enter(signed_in(people.carl), there, **BARE)
    assert {repair.asset for repair in Repair.objects.all()} == {Asset.objects.get()}
    assert Repair.objects.count() == 2


def test_a_tag_that_is_not_on_record_is_taken_into_the_form(people: People) -> None:
    start(people)
    page = signed_in(people.carl).get(f"{ADDRESS}?tag=9-XX-1")
    assert "9-XX-1 is not on record: say below what it is." in text_of(page)
    assert page.context["form"]["asset_tag"].value() == "9-XX-1"


def test_a_tag_of_two_projects_is_chosen_by_project(people: People) -> None:
    start(people)
    second = project("TWO", "Second", {})
    Membership.objects.create(project=second, user=people.carl, party="contractor")
    there = Asset.objects.create(project=second, tag="6-CW-201")
    page = signed_in(people.carl).get(f"{ADDRESS}?tag=6-CW-201")
    assert "stands in more than one project" in text_of(page)
    assert f'href="{ADDRESS}?component={there.pk}"' in page.content.decode()


@pytest.mark.parametrize("asked", ["component=x", "component=" + "9" * 30, "component=-1", "tag="])
def test_a_component_that_cannot_be_read_is_none(people: People, asked: str) -> None:
    assert "asset_tag" in signed_in(people.carl).get(f"{ADDRESS}?{asked}").context["form"].fields


def test_a_component_of_another_project_is_not_shown(people: People) -> None:
    theirs = Asset.objects.create(project=people.elsewhere, tag="SECRET-1", line="SECRET-2")
    for asked in (f"component={theirs.pk}", "tag=secret-1"):
        page = signed_in(people.carl).get(f"{ADDRESS}?{asked}").content.decode()
        assert "SECRET" not in page


def test_what_is_wrong_is_listed_in_the_order_of_the_page(people: People) -> None:
    page = start(people, title="", temperature="60", defect_clock="13", defect_length="0 mm")
    assert list(page.context["form"].errors) == [
        "title",
        "temperature",
        "defect_length",
        "defect_clock",
    ]
