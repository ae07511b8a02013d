"""The page of take-offs: what to bring for a repair, in its units, and plainly an estimate."""

from typing import Any

import pytest

from qc.engine.take_off import TAKE_OFFS
from qc.ledger.models import Entry
from qc.records.models import Repair
from qc.web.forms.take_off import ESTIMATES
from tests.factories import planned_repair
from tests.people import People
from tests.web.entering import step_of
from tests.web.visitor import signed_in, text_of

GIVEN: dict[str, dict[str, str]] = {
    "patch": {"length": "200", "width": "100", "depth": "8", "loss": "20", "density": "1,6"},
    "ring": {"diameter": "168.3", "length": "300", "depth": "6", "kit_volume": "0.5"},
    "coating": {"area": "100", "dry_film": "100", "volume_solids": "50", "loss": "30"},
    "wrap": {"diameter": "168.3", "length": "600", "layers": "8", "tape_width": "100"},
    "mixes": {
        "amount": "12",
        "work_time": "240",
        "pot_life": "20 °C = 120 min",
        "material_temperature": "20",
    },
}
"""Figures of a metric repair that make an estimate, by its key."""


def page(people: People, repair: Repair, of: str, who: str = "carl", **typed: str) -> Any:
    """The page, asked for an estimate where anything is typed."""
    asked = {"asked": "yes", **typed} if typed else {}
    client = signed_in(getattr(people, who))
    return client.get(f"/repairs/{repair.pk}/take-off/", {"of": of, **asked})


def figures(answer: Any) -> dict[str, str]:
    """What the table of results says, by label."""
    found = answer.context["found"]
    assert found, answer.context["form"].errors
    return {r["label"]: f"{r['figure']} {r['unit']}".strip() for r in found["results"]}


def test_every_take_off_of_the_engine_has_its_form_and_every_field_of_it_a_place() -> None:
    assert {each.of.key for each in ESTIMATES.values()} == set(TAKE_OFFS)
    for each in ESTIMATES.values():
        shown = {field.name for field in each.given}
        assert shown | set(each.settled) | set(each.without) == {f.name for f in each.of.given}
        assert set(each.needs) <= shown


@pytest.mark.parametrize("who", ["ines", "carl", "clara"])
@pytest.mark.parametrize("of", ESTIMATES)
def test_every_party_reckons_every_estimate_and_nothing_is_recorded(
    people: People, of: str, who: str
) -> None:
    repair = planned_repair(people)
    before = Entry.objects.count()
    answer = page(people, repair, of, who, **GIVEN[of])
    words = text_of(answer)
    assert "An estimate for planning, not a record" in words
    assert ESTIMATES[of].of.basis in words
    assert "the design of the repair and the product data sheet decide" in words
    assert Entry.objects.count() == before


def test_filler_of_a_patch(people: People) -> None:
    """By hand: 20 x 10 x 0.8 cm = 160 ml; 20 % lost: 200 ml; x 1.6 = 320 g."""
    assert figures(page(people, planned_repair(people), "patch", **GIVEN["patch"])) == {
        "Volume in place": "0.16 l",
        "Volume to mix": "0.2 l",
        "Mass to mix": "0.32 kg",
    }


def test_filler_round_a_pipe(people: People) -> None:
    """By hand: pi x (168.3 + 6) x 6 x 300 = 985 643 mm3; in kits of half a litre: 2."""
    found = figures(page(people, planned_repair(people), "ring", **GIVEN["ring"]))
    assert (found["Volume to mix"], found["Kits"]) == ("0.986 l", "2")


def test_coating_with_losses(people: People) -> None:
    """By hand: 100 m2 x 0.1 mm = 10 l dry, 20 l wet; 30 % lost: 28.571 l; wet film 200 um."""
    assert figures(page(people, planned_repair(people), "coating", **GIVEN["coating"])) == {
        "Wet volume on the surface": "20 l",
        "Volume to mix": "28.571 l",
        "Wet film of one coat": "200 µm",
    }


def test_mixes_in_the_pot_life(people: People) -> None:
    """By hand: 240 min of work in a pot life of 120 min are two mixes of 6 kg."""
    assert figures(page(people, planned_repair(people), "mixes", **GIVEN["mixes"])) == {
        "Pot life at that temperature": "120 min",
        "Estimated by halving": "no",
        "Usable of the pot life": "120 min",
        "Mixes": "2",
        "Size of a mix": "6 kg",
        "Time to use one": "120 min",
    }


def test_a_small_amount_keeps_three_digits(people: People) -> None:
    """By hand: 10 x 10 x 0.333 mm = 33.3 mm3; 2.5 kg in four mixes are 0.625 kg each."""
    pit = {"length": "10", "width": "10", "depth": "0.333"}
    repair = planned_repair(people)
    assert figures(page(people, repair, "patch", **pit))["Volume to mix"] == "0.000033 l"
    mixes = GIVEN["mixes"] | {"amount": "2.5", "work_time": "480"}
    assert figures(page(people, repair, "mixes", **mixes))["Size of a mix"] == "0.625 kg"


def test_a_us_repair_offers_and_answers_in_us_units(people: People) -> None:
    """By hand: 8 layers of 0.02 in are 0.16 in; a gallon covers 1604 mil ft2."""
    repair = planned_repair(people, units="us")
    layers = {"diameter": "6.625", "length": "24", "layers": "8", "tape_width": "4"}
    wrap = figures(page(people, repair, "wrap", **layers, ply_thickness="0.02"))
    assert wrap["Thickness laid"] == "0.16 in"
    assert wrap["Length of tape"].endswith(" ft")
    film = {"area": "1604", "dry_film": "1", "volume_solids": "100"}
    coating = figures(page(people, repair, "coating", **film))
    assert coating["Volume to mix"] == "1 US gal"
    assert coating["Wet film of one coat"] == "1 mil"


def test_figures_typed_in_other_units_are_answered_in_those_of_the_repair(people: People) -> None:
    """By hand: 7 x 3 x 0.25 in = 5.25 in3 = 86.03 ml."""
    inches = {"length": "7 in", "width": "3 in", "depth": "0.25 in"}
    found = figures(page(people, planned_repair(people), "patch", **inches))
    assert found["Volume to mix"] == "0.086 l"


def test_what_is_known_of_component_and_plan_is_offered_and_nothing_asked_yet(
    people: People,
) -> None:
    mixing = {"duration_min": "4 min", "pot_life": {"20 degC": "45 min"}}
    coat = {"rule": "iso19840", "nominal": "300 um", "area": "12 m2"}
    steps = [step_of("mixing", criteria=mixing), step_of("thickness", criteria=coat)]
    repair = planned_repair(people, steps)
    offered = {
        of: page(people, repair, of).context["form"] for of in ("ring", "wrap", "coating", "mixes")
    }
    assert offered["ring"]["diameter"].value() == "168.3"
    assert offered["wrap"]["diameter"].value() == "168.3"
    assert offered["coating"]["area"].value() == "12"
    assert offered["mixes"]["pot_life"].value() == "20 °C = 45 min"
    assert not any(form.is_bound for form in offered.values())


def test_an_amount_goes_on_to_its_mixes_without_being_judged_there(people: People) -> None:
    answer = page(people, planned_repair(people), "patch", **GIVEN["patch"])
    onwards = signed_in(people.carl).get(answer.context["found"]["mixes_url"])
    assert onwards.context["form"]["amount"].value() == "0.32"
    assert not onwards.context["form"].errors
    wrap = page(people, planned_repair(people, number="R-015"), "wrap", **GIVEN["wrap"])
    assert wrap.context["found"]["mixes_url"] == ""


def test_mixing_comes_with_its_cautions(people: People) -> None:
    words = text_of(page(people, planned_repair(people), "mixes"))
    assert "CAUTION" in words


@pytest.mark.parametrize(
    ("of", "typed", "field", "said"),
    [
        ("patch", {"width": ""}, "width", "Width is missing"),
        ("patch", {"depth": "deep"}, "depth", "deep is not a number"),
        ("patch", {"loss": "96"}, "loss", "above 95"),
        ("patch", {"density": "", "kit_mass": "1"}, "density", "required to count kits by mass"),
        ("patch", {"count": "1.5"}, "count", "not a whole number"),
        ("ring", {"diameter": ""}, "diameter", "Outside diameter is missing"),
        ("coating", {"volume_solids": "0"}, "volume_solids", "below 1\N{NO-BREAK SPACE}%"),
        ("coating", {"area": "1,234"}, "area", "1.234 or 1234"),
        ("wrap", {"layers": ""}, "layers", "Layers of the design is missing"),
        ("wrap", {"roll_length": "100"}, "roll_length", "do not go once round the pipe"),
        ("mixes", {"amount": "12 m"}, "amount", "is no mass and no volume"),
        ("mixes", {"amount": "0"}, "amount", "above zero"),
        ("mixes", {"pot_life": ""}, "pot_life", "Pot life by temperature is missing"),
        ("mixes", {"pot_life": "20 = 120"}, "pot_life", "Line 1"),
        ("mixes", {"lost_time": "120"}, "lost_time", "leaves nothing of the pot life"),
        ("mixes", {"mix_max": "2 l"}, "mix_max", "of the kind of the amount"),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_nothing_is_reckoned(
    people: People, of: str, typed: dict[str, str], field: str, said: str
) -> None:
    answer = page(people, planned_repair(people), of, **GIVEN[of] | typed)
    assert answer.status_code == 200
    assert set(answer.context["form"].errors) == {field}
    assert said in " ".join(answer.context["form"].errors[field])
    assert answer.context["found"] is None


def test_what_was_typed_is_in_the_form_and_beside_the_result(people: People) -> None:
    answer = page(people, planned_repair(people), "patch", **GIVEN["patch"])
    assert answer.context["form"]["density"].value() == "1,6"
    given = {item["term"]: item["definition"] for item in answer.context["found"]["given"]}
    assert given == {
        "Length": "200 mm",
        "Width": "100 mm",
        "Depth": "8 mm",
        "Loss": "20 %",
        "Density of the mixed filler": "1.6 kg/l",
    }


def test_an_estimate_that_does_not_exist_is_not_found(people: People) -> None:
    assert page(people, planned_repair(people), "paint").status_code == 404


@pytest.mark.parametrize("where", ["", "plan/"])
def test_repair_and_plan_lead_to_it(people: People, where: str) -> None:
    repair = planned_repair(people)
    body = signed_in(people.clara).get(f"/repairs/{repair.pk}/{where}").content.decode()
    assert f'href="/repairs/{repair.pk}/take-off/"' in body
    assert signed_in(people.clara).post(f"/repairs/{repair.pk}/take-off/").status_code == 405
