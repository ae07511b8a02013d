"""Take-offs worked out by hand, and what is refused at their door."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.fields import InvalidValue
from qc.engine.quantities import Quantity
from qc.engine.take_off import TAKE_OFFS, take_off_case

PATCH = {"shape": "patch", "length": "200 mm", "width": "100 mm", "depth": "8 mm"}
RING = {"shape": "ring", "diameter": "168.3 mm", "length": "300 mm", "depth": "6 mm"}
COAT = {"area": "100 m2", "dry_film": "100 um", "volume_solids": "50 %"}
WRAP = {"diameter": "168.3 mm", "length": "600 mm", "layers": 8, "tape_width": "100 mm"}
MIXES = {
    "amount": "12 kg",
    "work_time": "4 hour",
    "pot_life": {"20 degC": "120 min"},
    "material_temperature": "20 degC",
}
VALUES: dict[str, dict[str, Any]] = {
    "filler": PATCH,
    "coating": COAT,
    "wrap": WRAP,
    "mixes": MIXES,
}


def reckon(key: str, values: dict[str, Any], **more: Any) -> dict[str, Any]:
    found: dict[str, Any] = take_off_case({"take_off": key, "given": values | more})["results"]
    return found


@pytest.mark.parametrize("key", TAKE_OFFS)
def test_every_result_is_marked_as_an_estimate_and_says_how_it_was_reckoned(key: str) -> None:
    values = VALUES[key]

    found = take_off_case({"take_off": key, "given": values})

    assert found["estimate"] is True
    assert found["caution"].startswith("An estimate for planning")
    assert found["basis"]
    assert not {"x", "pi"} & set(found["basis"].replace("(", " ").split())
    assert set(found["results"]) == {field.name for field in TAKE_OFFS[key].results}


def test_filler_of_a_patch() -> None:
    """By hand: 20 x 10 x 0.8 cm = 160 ml; 20 % lost: 200 ml; x 1.6 = 320 g; 2 kits of 250 g."""
    found = reckon("filler", PATCH, loss="20 %", density="1.6 kg/l", kit_mass="250 g")

    assert found == {
        "volume_in_place": "0.16 l",
        "volume": "0.2 l",
        "mass": "0.32 kg",
        "kits": 2,
    }


def test_filler_of_several_patches_without_density_or_kit() -> None:
    """By hand: 3 x 160 ml."""
    found = reckon("filler", PATCH, count=3)

    assert found == {"volume_in_place": "0.48 l", "volume": "0.48 l", "mass": None, "kits": None}


def test_filler_all_round_a_pipe() -> None:
    """By hand: pi x (168.3 + 6) x 6 x 300 = 985 643 mm3; in kits of half a litre: 2."""
    found = reckon("filler", RING, kit_volume="500 ml")

    assert found["volume"] == "0.985643 l"
    assert found["kits"] == 2


def test_filler_in_inches_comes_in_gallons_and_pounds() -> None:
    """By hand: 7 x 3 x 0.25 in = 5.25 in3, a US gallon has 231; 1.4 kg/l is 11.6836 lb/gal."""
    sides = {"shape": "patch", "length": "7 in", "width": "3 in", "depth": "0.25 in"}

    found = reckon("filler", sides, density="1.4 kg/l", kit_mass="0.2 lb")

    assert found["volume"] == "0.022727 gal"
    assert found["mass"] == "0.265536 lb"
    assert found["kits"] == 2


@pytest.mark.parametrize(("weight", "kits"), [("320 g", 1), ("319.9 g", 2), ("160 g", 2)])
def test_a_kit_that_holds_exactly_what_is_needed_is_one(weight: str, kits: int) -> None:
    found = reckon("filler", PATCH, loss="20 %", density="1.6 kg/l", kit_mass=weight)

    assert found["kits"] == kits


def test_coating_with_losses() -> None:
    """By hand: 100 m2 x 0.1 mm = 10 l dry, 20 l wet; 30 % lost: 28.571 l; 2 drums of 20 l."""
    found = reckon("coating", COAT, loss="30 %", container="20 l")

    assert found == {
        "volume_in_place": "20 l",
        "volume": "28.571429 l",
        "wet_film": "200 um",
        "containers": 2,
    }


def test_coating_of_two_coats_without_loss() -> None:
    found = reckon("coating", COAT, coats=2)

    assert (found["volume"], found["wet_film"], found["containers"]) == ("40 l", "200 um", None)


def test_a_gallon_covers_1604_square_feet_a_mil_thick() -> None:
    """The trade's figure, 1604 mil ft2 of dry film from a US gallon without solvent."""
    found = reckon("coating", {"area": "1604 ft2", "dry_film": "1 mil", "volume_solids": "100 %"})

    gallons = Quantity.parse(found["volume"])
    assert gallons.unit == "gal"
    assert abs(float(gallons.magnitude) - 1) < 0.0005
    assert found["wet_film"] == "1 mil"


def test_wrap_at_half_overlap() -> None:
    """By hand: 8 layers are 4 passes; 600 / 50 = 12 turns of pi x 168.3 = 528.73 mm: 25.379 m."""
    found = reckon("wrap", WRAP, roll_length="9.1 m")

    assert found == {
        "passes": 4,
        "layers": 8,
        "thickness": None,
        "tape": "25.379042 m",
        "rolls": 3,
    }


def test_wrap_with_its_build_straight_turns_and_losses() -> None:
    """By hand: built 8 x 0.33 = 2.64 mm, pi x 170.94 = 537.024 mm; 4 x (12 + 2) turns: 30.073 m;
    10 % lost: 33.415 m, 4 rolls of 9.1 m."""
    more = {"ply_thickness": "0.33 mm", "end_turns": 2, "loss": "10 %", "roll_length": "9.1 m"}

    found = reckon("wrap", WRAP, **more)

    assert found["thickness"] == "2.64 mm"
    assert found["tape"] == "33.414817 m"
    assert found["rolls"] == 4


@pytest.mark.parametrize(
    ("layers", "overlap", "passes", "laid"),
    [
        (8, "50 %", 4, 8),
        (12, "50 %", 6, 12),
        (7, "50 %", 4, 8),
        (9, "66.67 %", 3, 9),
        (9, "66.6 %", 5, 10),
        (3, "0 %", 3, 3),
        (1, "50 %", 1, 2),
    ],
)
def test_passes_by_overlap(layers: int, overlap: str, passes: int, laid: int) -> None:
    """Calculated: 4 passes at half are 8 layers, 6 are 12, 3 at two thirds are 9."""
    found = reckon("wrap", WRAP | {"layers": layers, "overlap": overlap})

    assert (found["passes"], found["layers"]) == (passes, laid)


def test_a_wrap_no_wider_than_its_tape_goes_round_at_least_once() -> None:
    """By hand: 40 mm are less than a turn of 50 mm; 4 x 528.73 mm."""
    assert reckon("wrap", WRAP | {"length": "40 mm"})["tape"] == "2.11492 m"


def test_a_wrap_in_inches_comes_in_feet() -> None:
    """By hand: 24 in / 2 in = 12 turns of pi x 6.625 in, 4 passes: 83.252 ft."""
    inches = {"diameter": "6.625 in", "length": "24 in", "layers": 8, "tape_width": "4 in"}

    assert reckon("wrap", inches)["tape"] == "83.252205 ft"


def test_mixes_within_the_pot_life() -> None:
    """By hand: 120 - 20 = 100 min of use each, 240 min of work: 3 mixes of 4 kg, 80 min each."""
    assert reckon("mixes", MIXES, lost_time="20 min") == {
        "pot_life": "120 min",
        "pot_life_by_halving": False,
        "usable": "100 min",
        "mixes": 3,
        "mix_size": "4 kg",
        "time_each": "80 min",
    }


def test_hot_material_takes_more_mixes() -> None:
    """A paint maker's rule: 2 h at 20 degC is 1 h at 30 degC; 240 min by 40: 6 mixes of 2 kg."""
    found = reckon("mixes", MIXES, lost_time="20 min", material_temperature="30 degC")

    assert (found["mixes"], found["mix_size"]) == (6, "2 kg")
    assert (found["pot_life"], found["pot_life_by_halving"]) == ("60 min", True)


@pytest.mark.parametrize(
    ("most", "mixes"), [("12 kg", 2), ("6 kg", 2), ("5.9 kg", 3), ("1 kg", 12), ("2 lb", 14)]
)
def test_the_largest_mix_may_ask_for_more(most: str, mixes: int) -> None:
    """240 min in 120 min are two; 12 kg are 26.46 lb."""
    assert reckon("mixes", MIXES, mix_max=most)["mixes"] == mixes


def test_no_work_is_one_mix() -> None:
    assert reckon("mixes", MIXES | {"work_time": "0 min", "amount": "2 l"})["mixes"] == 1


@pytest.mark.parametrize(
    ("key", "values", "said"),
    [
        ("filler", {}, "given.shape: is required"),
        ("filler", PATCH | {"width": None}, "given.width: is required for a patch"),
        ("filler", RING | {"diameter": None}, "given.diameter: is required for a ring"),
        ("filler", RING | {"width": "5 mm"}, "given.width: is no side of a ring"),
        ("filler", PATCH | {"depth": "0 mm"}, "given.depth: 0 mm is below 0.001 mm"),
        ("filler", PATCH | {"count": 0}, "given.count: 0 is below 1"),
        ("filler", PATCH | {"kit_mass": "1 kg"}, "given.density: is required to count kits"),
        ("filler", PATCH | {"loss": "95.1 %"}, "given.loss: 95.1 % is above 95 %"),
        ("coating", COAT | {"area": None}, "given.area: is required"),
        ("coating", COAT | {"volume_solids": "0 %"}, "given.volume_solids: 0 % is below 1 %"),
        ("coating", COAT | {"volume_solids": "101 %"}, "given.volume_solids: 101 % is above"),
        ("coating", COAT | {"colour": "grey"}, "given.colour: unknown"),
        ("wrap", WRAP | {"layers": 0}, "given.layers: 0 is below 1"),
        ("wrap", WRAP | {"overlap": "91 %"}, "given.overlap: 91 % is above 90 %"),
        ("wrap", WRAP | {"roll_length": "500 mm"}, "given.roll_length: 500 mm do not go once"),
        ("mixes", MIXES | {"amount": "3 mm"}, "given.amount: is no mass and no volume"),
        ("mixes", MIXES | {"amount": "0 kg"}, "given.amount: is no mass and no volume"),
        ("mixes", MIXES | {"mix_max": "2 l"}, "given.mix_max: 2 l is not above zero and of the"),
        ("mixes", MIXES | {"mix_max": "0 kg"}, "given.mix_max: 0 kg is not above zero"),
        ("mixes", MIXES | {"lost_time": "120 min"}, "given.lost_time: leaves nothing"),
        ("mixes", MIXES | {"pot_life": {}}, "given.pot_life: is required"),
        ("mixes", MIXES | {"pot_life": {"20 degC": "0 min"}}, "given.lost_time: leaves nothing"),
    ],
)
def test_what_cannot_be_reckoned_is_refused_by_field(
    key: str, values: dict[str, Any], said: str
) -> None:
    with pytest.raises(InvalidValue) as caught:
        reckon(key, values)

    assert str(caught.value).startswith(said)


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (None, "take_off: is not an object"),
        ([], "take_off: is not an object"),
        ({}, "take_off.take_off: must be one of: filler, coating, wrap, mixes"),
        ({"take_off": ["wrap"]}, "take_off.take_off: must be one of"),
        ({"take_off": "paint", "given": {}}, "take_off.take_off: must be one of"),
        ({"take_off": "wrap"}, "given: null is not an object"),
        ({"take_off": "wrap", "given": WRAP, "price": "1"}, "take_off.price: unknown"),
    ],
)
def test_a_bad_request_is_refused(raw: Any, said: str) -> None:
    with pytest.raises(InvalidValue) as caught:
        take_off_case(raw)

    assert str(caught.value).startswith(said)


junk = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | st.sampled_from(["", "x", "0 mm", "5 %"]),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=4,
)


@given(st.sampled_from(list(TAKE_OFFS)), st.data())
def test_junk_raises_nothing_but_the_refusal(key: str, data: st.DataObject) -> None:
    values = VALUES[key]
    names = [field.name for field in TAKE_OFFS[key].given]
    spoilt = values | data.draw(st.dictionaries(st.sampled_from(names), junk, max_size=3))

    try:
        take_off_case({"take_off": key, "given": spoilt})
    except InvalidValue as refusal:
        assert refusal.path.startswith("given")


@given(st.integers(1, 2000), st.integers(0, 95), st.integers(1, 100))
def test_more_loss_or_less_solids_never_takes_less(area: int, loss: int, solids: int) -> None:
    values = COAT | {"area": f"{area} m2", "loss": f"{loss} %", "volume_solids": f"{solids} %"}

    def litres(**more: str) -> Fraction:
        return Fraction(Quantity.parse(reckon("coating", values, **more)["volume"]).magnitude)

    assert litres(loss=f"{min(95, loss + 1)} %") >= litres()
    assert litres(volume_solids=f"{max(1, solids - 1)} %") >= litres()
