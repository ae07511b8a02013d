"""Where to measure: the rule and the surface of a step, and the places proposed from them."""

import re
from typing import Any

import pytest

from qc.engine.sampling import propose_case
from qc.ledger.models import Entry
from qc.records.models import Repair
from qc.web.templatetags import pictures
from qc.workflow import RepairOutline, revise_plan, start_repair
from tests.factories import AMBIENT, FILLER, HARDNESS, THICKNESS, act_on, planned_repair
from tests.people import Party, People
from tests.web.entering import step_of
from tests.web.visitor import signed_in, text_of

ASKED = {"asked": "yes"}
PIPE = {**ASKED, "surface": "round", "length": "450", "diameter": "168.3"}
FLAT = {**ASKED, "surface": "flat", "length": "12 m", "breadth": "2,5 m"}


def with_step(people: People, key: str, **more: Any) -> Repair:
    """A repair of which the first step checks `key`."""
    return planned_repair(people, [step_of(key, **more)])


def thickness(people: People, rule: str, **more: str) -> Repair:
    return with_step(people, "thickness", criteria={"rule": rule, "min": "200 um", **more})


def in_us_units(people: People, rule: str) -> Repair:
    """A US repair of a component whose diameter is not known."""
    outline = RepairOutline(
        number="R-020",
        title="Coating of a shell",
        asset_tag="T-4",
        defect="Rust",
        template="protective_coating",
        units="us",
    )
    by = {"actor": people.of(Party.CONTRACTOR)}
    act = act_on(people, Party.CONTRACTOR) | by
    entry = start_repair(project_id=people.project.pk, outline=outline, **act)
    step = step_of("thickness", criteria={"rule": rule, "min": "8 mil"})
    act = act_on(people, Party.CONTRACTOR) | by
    revise_plan(repair_id=entry.repair_id, steps=[step], reason="cut to the job", **act)
    return Repair.objects.get(pk=entry.repair_id)


def page(people: People, repair: Repair, asked: dict[str, str], who: str = "ines") -> Any:
    client = signed_in(getattr(people, who))
    return client.get(f"/repairs/{repair.pk}/steps/1/where/", asked)


def rows(answer: Any) -> list[tuple[str, ...]]:
    """The figures of the table of places."""
    table = re.search(r'<table class="places">.*?</table>', answer.content.decode(), re.DOTALL)
    assert table, "no places are proposed"
    lines = re.findall(r"<tr>(.*?)</tr>", table[0], re.DOTALL)
    return [tuple(re.findall(r"<t[hd][^>]*>([^<]*)</t[hd]>", line)) for line in lines[1:]]


def facts(answer: Any) -> dict[str, str]:
    """The figures above the places, by label."""
    return {fact["label"]: fact["value"] for fact in answer.context["proposal"]["facts"]}


@pytest.mark.parametrize(
    ("position", "is_offered"),
    [(AMBIENT, False), (FILLER, False), (THICKNESS, True), (HARDNESS, True)],
)
def test_only_a_step_that_is_read_at_places_has_the_page(
    people: People, position: int, is_offered: bool
) -> None:
    step = f"/repairs/{planned_repair(people).pk}/steps/{position}/"
    ines = signed_in(people.ines)
    assert (f'href="{step}where/"' in ines.get(step).content.decode()) is is_offered
    assert ines.get(f"{step}where/").status_code == (200 if is_offered else 404)


def test_the_places_are_the_engines_for_repair_and_step_in_the_unit_that_was_typed(
    people: People,
) -> None:
    repair = thickness(people, "iso19840")
    engine = propose_case(
        {
            "rule": "iso19840",
            "seed": "R-014 step 1",
            "length": "450 mm",
            "diameter": "168.3 mm",
        }
    )
    found = rows(page(people, repair, PIPE))
    assert len(found) == 5
    for row, place in zip(found, engine["places"], strict=True):
        number, along, clock, across = row
        assert (int(number), clock) == (place["number"], place["clock"])
        assert f"{int(along) / 1000:.3f} m" == place["along"]
        assert f"{int(across) / 1000:.3f} m" == place["across"]


def test_every_party_is_proposed_the_same_places_and_nothing_is_recorded(people: People) -> None:
    repair = thickness(people, "pa2")
    before = Entry.objects.count()
    found = [rows(page(people, repair, PIPE, who)) for who in ("ines", "carl", "clara")]
    assert found[0] == found[1] == found[2] == rows(page(people, repair, PIPE))
    assert Entry.objects.count() == before
    address = f"/repairs/{repair.pk}/steps/1/where/"
    assert signed_in(people.ines).post(address, PIPE).status_code == 405


def test_the_page_says_where_the_number_comes_from_and_that_a_place_is_where_to_start(
    people: People,
) -> None:
    answer = page(people, thickness(people, "90-10"), FLAT)
    words = text_of(answer)
    assert facts(answer) == {"Places": "6", "Surface": "30 m²"}
    assert "90/10" in words
    assert "Source of the number:" in words
    assert "Readings along edges, welds and stiffeners come on top." in words
    assert "A place proposed is where to start." in words
    assert "Never cut or drill a repair on a live pipe" in words


def test_spots_of_pa_2_say_their_area_and_how_many_readings_they_take(people: People) -> None:
    """SSPC-PA 2: five spots of three readings in each area; 30 m² are three areas."""
    answer = page(people, thickness(people, "pa2"), FLAT)
    assert [row[1] for row in rows(answer)] == ["1"] * 5 + ["2"] * 5 + ["3"] * 5
    assert facts(answer) == {
        "Places": "15",
        "Readings at each": "3",
        "Readings": "45",
        "Surface": "30 m²",
    }


@pytest.mark.parametrize(
    ("key", "criteria", "said", "count"),
    [
        ("thickness", {"rule": "iso19840", "nominal": "300 um"}, "ISO 19840", 20),
        ("thickness", {"rule": "pa2", "min": "200 um"}, "SSPC-PA 2", 15),
        ("profile", {"min": "50 um"}, "locations of the surface profile, by area", 3),
        ("profile", {"method": "comparator"}, "locations of the comparator, by area", 3),
        (
            "salts",
            {"max": "20 mg/m2", "basis": "mixed"},
            "extractions of soluble salts, by area",
            3,
        ),
    ],
)
def test_the_rule_follows_from_the_plan_whatever_the_address_says(
    people: People, key: str, criteria: dict[str, str], said: str, count: int
) -> None:
    repair = with_step(people, key, criteria=criteria)
    answer = page(people, repair, FLAT | {"rule": "90-10"})
    assert len(rows(answer)) == count
    assert f"Rule for the number, by what the plan asks: {said}." in text_of(answer)
    assert "rule" not in answer.context["form"].fields


@pytest.mark.parametrize(("rule", "count"), [("iso19840", 20), ("pa2", 15), ("90-10", 6)])
def test_where_the_plan_leaves_the_number_open_the_inspector_chooses(
    people: People, rule: str, count: int
) -> None:
    repair = thickness(people, "minimum")
    assert len(rows(page(people, repair, FLAT | {"rule": rule}))) == count


def test_one_place_for_each_area_is_counted_by_that_area(people: People) -> None:
    repair = with_step(people, "dust", criteria={"rule": "simple", "quantity_max": "2"})
    answer = page(people, repair, FLAT | {"one_each": "4"})
    assert len(rows(answer)) == 8
    assert "No rule known here counts places of dust by area" in text_of(answer)


def test_the_least_number_of_the_plan_is_offered(people: People) -> None:
    repair = with_step(people, "profile", criteria={"min": "50 um", "locations_min": "7"})
    assert page(people, repair, {}).context["form"]["places_min"].value() == "7"
    assert len(rows(page(people, repair, FLAT | {"places_min": "7"}))) == 7


def test_the_component_gives_the_surface_and_only_the_length_is_left_to_type(
    people: People,
) -> None:
    form = page(people, thickness(people, "pa2"), {}).context["form"]
    assert not form.is_bound
    offered = {name: form[name].value() for name in ("surface", "diameter", "length")}
    assert offered == {"surface": "round", "diameter": "168.3", "length": None}


def test_a_flat_part_of_a_pipe_does_not_use_the_diameter_that_was_offered(people: People) -> None:
    repair = thickness(people, "pa2")
    assert rows(page(people, repair, FLAT | {"diameter": "168.3"})) == rows(
        page(people, repair, FLAT)
    )


def test_what_was_typed_stays_in_the_address_and_in_the_form(people: People) -> None:
    answer = page(people, thickness(people, "pa2"), FLAT)
    form = answer.context["form"]
    assert form["breadth"].value() == "2,5 m"
    assert 'method="get"' in answer.content.decode()


def test_a_us_repair_is_measured_in_inches_and_by_the_square_foot(people: People) -> None:
    """SSPC-PA 2: three areas from 300 to 1000 ft²."""
    sides = {**ASKED, "surface": "flat", "length": "360", "breadth": "120"}
    answer = page(people, in_us_units(people, "pa2"), sides)
    words = text_of(answer)
    assert facts(answer)["Surface"] == "300 ft²"
    assert "360 in by 120 in across" in words
    assert "From the start, in" in words
    assert len(rows(answer)) == 15
    assert all(0 <= float(row[2]) < 360 and 0 <= float(row[3]) < 120 for row in rows(answer))


@pytest.mark.parametrize(
    ("asked", "field", "said"),
    [
        ({"length": ""}, "length", "Length is missing"),
        ({"length": "ten"}, "length", "ten is not a number"),
        ({"length": "<b>1</b>"}, "length", "is not a number"),
        ({"length": "-450"}, "length", "below 10\N{NO-BREAK SPACE}mm"),
        ({"length": "450 kg"}, "length", "not a unit of this field"),
        ({"diameter": ""}, "diameter", "Outside diameter is missing"),
        ({"surface": ""}, "surface", "Surface is missing"),
        ({"surface": "cone"}, "surface", "not one of"),
        ({"surface": "flat"}, "breadth", "Breadth is missing"),
        ({"breadth": "300"}, "breadth", "belongs to a flat surface"),
        ({"rule": ""}, "rule", "Rule for the number is missing"),
        ({"rule": "profile"}, "rule", "not one of"),
        ({"rule": "one_each"}, "one_each", "One place for each is missing"),
        ({"one_each": "2"}, "one_each", "belongs to the rule"),
        ({"one_each": "0", "rule": "one_each"}, "one_each", "the least allowed"),
        ({"places_min": "2.5"}, "places_min", "not a whole number"),
        ({"places_min": "1001"}, "places_min", "above 1000"),
        ({"spacing": "400"}, "spacing", "leaves no room"),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_nothing_is_proposed(
    people: People, asked: dict[str, str], field: str, said: str
) -> None:
    repair = thickness(people, "minimum")
    answer = page(people, repair, PIPE | {"rule": "iso19840"} | asked)
    assert answer.status_code == 200
    form = answer.context["form"]
    assert set(form.errors) == {field}
    assert said in " ".join(form.errors[field])
    assert answer.context["proposal"] is None
    assert "<b>1</b>" not in answer.content.decode()


def test_more_places_than_anybody_takes_are_a_mistake_in_the_area(people: People) -> None:
    repair = thickness(people, "90-10")
    answer = page(people, repair, FLAT | {"length": "5000 m", "breadth": "5000 m"})
    assert "places are more than 2000" in text_of(answer)


def test_the_area_of_the_plan_is_named_where_the_sides_make_another(people: People) -> None:
    repair = thickness(people, "iso19840", area="3 m2", nominal="300 um")
    said = "The plan states an area of 3 m²"
    assert said in text_of(page(people, repair, FLAT))
    assert said not in text_of(page(people, repair, FLAT | {"length": "2 m", "breadth": "1.5 m"}))


def drawn(length: str, breadth: str, *places: tuple[str, str], is_pipe: bool = False) -> Any:
    marked = [
        {"number": number, "along": along, "across": across}
        for number, (along, across) in enumerate(places, start=1)
    ]
    sides = {"length": length, "breadth": breadth, "unit": "mm", "is_pipe": is_pipe}
    return pictures.surface({**sides, "places": marked})


def test_places_are_drawn_where_they_lie_and_to_scale() -> None:
    picture = drawn("400", "200", ("0", "0"), ("400", "200"), ("200", "100"))
    frame, plot = picture["frame"], picture["plot"]
    assert frame.to_scale
    assert frame.width == pytest.approx(2 * frame.height)
    assert [(p["x"], p["y"]) for p in picture["places"]] == [
        (plot.left, plot.bottom),
        (plot.right, plot.top),
        (plot.left + frame.width / 2, plot.top + frame.height / 2),
    ]


def test_a_pipe_is_unrolled_downwards_from_its_top() -> None:
    picture = drawn("400", "600", ("0", "0"), ("400", "300"), is_pipe=True)
    plot = picture["plot"]
    top, bottom_of_the_pipe = picture["places"]
    assert top["y"] == plot.top
    assert bottom_of_the_pipe["y"] == pytest.approx((plot.top + plot.bottom) / 2, abs=0.1)
    assert [row["label"] for row in picture["rows"]] == ["12 h", "3 h", "6 h", "9 h", "12 h"]


def test_a_long_strip_is_widened_and_says_so() -> None:
    assert drawn("9000", "300", ("1", "1"))["caption"].endswith("not to scale.")
    assert drawn("300", "9000", ("1", "1"))["caption"].endswith("not to scale.")
    assert "not to scale" not in drawn("300", "300", ("1", "1"))["caption"]


def test_the_picture_says_in_words_what_it_shows_and_the_table_names_every_place(
    people: People,
) -> None:
    body = page(people, thickness(people, "iso19840"), PIPE).content.decode()
    assert 'role="img" aria-label="Pipe unrolled over 450 mm, cut along 12 o&#x27;clock' in body
    assert "5 places marked, as numbered in the table." in body
    assert body.count('class="number"') == 5


def test_more_places_than_can_be_numbered_in_the_picture_are_dots(people: People) -> None:
    answer = page(people, thickness(people, "90-10"), FLAT | {"places_min": "41"})
    assert len(rows(answer)) == 41
    assert answer.content.decode().count("place dot") == 41
