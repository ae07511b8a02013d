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
