"""The mixing ratio: by weight, by volume, with densities, and whole kits."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

BY_WEIGHT = {"ratio": "2.5:1", "ratio_basis": "weight", "ratio_tolerance": "5 %"}


def judge(criteria: dict[str, Any], reading: dict[str, Any]) -> dict[str, Any]:
    return judge_case({"characteristic": "mixing", "criteria": criteria, "readings": [reading]})


def parts(a: str, b: str) -> dict[str, Any]:
    return {"part_a": a, "part_b": b}


@pytest.mark.parametrize(
    ("part_b", "deviation", "outcome"),
    [
        ("400 g", "0 %", "conforms"),
        ("385 g", "3.896104 %", "conforms"),
        ("380 g", "5.263158 %", "does_not_conform"),
        ("420 g", "-4.761905 %", "conforms"),
    ],
)
def test_the_deviation_of_weighed_parts(part_b: str, deviation: str, outcome: str) -> None:
    """Calculated for 1000 g of part A at 2.5 to 1: 0.0, +3.90, +5.26 and -4.76 %."""
    verdict = judge(BY_WEIGHT, parts("1000 g", part_b))

    assert verdict["outcome"] == outcome
    assert verdict["computed"]["ratio_deviation"] == [deviation]


@pytest.mark.parametrize(
    ("part_a", "outcome"),
    [
        ("105 g", "conforms"),
        ("105.000001 g", "does_not_conform"),
        ("95 g", "conforms"),
        ("94.999999 g", "does_not_conform"),
    ],
)
def test_a_deviation_on_the_tolerance_conforms_on_both_sides(part_a: str, outcome: str) -> None:
    criteria = BY_WEIGHT | {"ratio": "1"}

    assert judge(criteria, parts(part_a, "100 g"))["outcome"] == outcome


@pytest.mark.parametrize("ratio", ["2.5", "2.5:1", "2,5 : 1", "100:40", "5:2"])
def test_a_ratio_may_be_written_in_several_ways(ratio: str) -> None:
    verdict = judge(BY_WEIGHT | {"ratio": ratio}, parts("1 kg", "0.4 kg"))

    assert verdict["computed"]["ratio_deviation"] == ["0 %"]


@pytest.mark.parametrize("ratio", ["0", "-1", "1:0", "2:1:1", "two", "1:", ":", "1e3"])
def test_what_is_no_ratio_is_refused(ratio: str) -> None:
    with pytest.raises(InvalidValue, match="ratio"):
        judge(BY_WEIGHT | {"ratio": ratio}, parts("1 kg", "1 kg"))


def test_a_volume_ratio_turns_into_a_weight_ratio_by_the_densities() -> None:
    """Published pairs: 1:1 by volume is 1.4:1 by weight; 3:1 by volume is 3.5:1 by weight."""
    putty = BY_WEIGHT | {
        "ratio": "1:1",
        "ratio_basis": "volume",
        "density_a": "1.4 kg/l",
        "density_b": "1 kg/l",
    }
    epoxy = putty | {"ratio": "3:1", "density_a": "3.5 g/ml", "density_b": "3 g/ml"}

    assert judge(putty, parts("1.4 kg", "1 kg"))["computed"]["ratio_deviation"] == ["0 %"]
    assert judge(epoxy, parts("3.5 lb", "1 lb"))["computed"]["ratio_deviation"] == ["0 %"]


def test_measured_volumes_turn_into_weights_by_the_densities() -> None:
    criteria = BY_WEIGHT | {"ratio": "1.4", "density_a": "1.4 kg/l", "density_b": "1 kg/l"}

    assert judge(criteria, parts("500 ml", "500 ml"))["computed"]["ratio_deviation"] == ["0 %"]


def test_one_part_weighed_and_one_measured_needs_one_density_only() -> None:
    criteria = BY_WEIGHT | {"ratio": "1.4", "density_a": "1.4 kg/l"}

    assert judge(criteria, parts("500 ml", "500 g"))["computed"]["ratio_deviation"] == ["0 %"]


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        (parts("1 l", "0.4 l"), "not by weight"),
        (parts("1 kg", "0.4 l"), "part B"),
        (parts("1 kg", "10 mm"), "part B"),
        (parts("0 g", "400 g"), "more than nothing"),
        (parts("1 kg", "-400 g"), "more than nothing"),
        ({"part_a": "1 kg"}, "part B has not been recorded"),
        ({"part_b": "1 kg"}, "part A has not been recorded"),
        ({}, "part A has not been recorded"),
        ({"whole_kit": False}, "part A has not been recorded"),
    ],
)
def test_parts_that_give_no_ratio_cannot_be_judged(reading: dict[str, Any], said: str) -> None:
    verdict = judge(BY_WEIGHT, {"mix_start": "2026-05-12T10:00Z", **reading})

    assert verdict["outcome"] == "cannot_be_judged"
    assert said in verdict["findings"][0]["statement"]
    assert verdict["computed"]["ratio_deviation"] == [None]


@pytest.mark.parametrize("lacking", ["ratio_basis", "ratio_tolerance"])
def test_a_ratio_without_basis_or_tolerance_cannot_be_judged(lacking: str) -> None:
    verdict = judge(BY_WEIGHT | {lacking: None}, parts("1 kg", "0.4 kg"))

    assert verdict["outcome"] == "cannot_be_judged"
    assert "the plan" in verdict["findings"][0]["statement"]


def test_the_statement_says_which_part_there_is_too_much_of() -> None:
    assert "part A" in judge(BY_WEIGHT, parts("1 kg", "380 g"))["findings"][0]["statement"]
    assert "part B" in judge(BY_WEIGHT, parts("1 kg", "480 g"))["findings"][0]["statement"]
    assert "too much" not in judge(BY_WEIGHT, parts("1 kg", "400 g"))["findings"][0]["statement"]
    slightly = judge(BY_WEIGHT, parts("1 kg", "398 g"))["findings"][0]["statement"]
    assert "too much of part A" in slightly


def test_a_declared_whole_kit_is_not_weighed_but_marked() -> None:
    verdict = judge(BY_WEIGHT, {"whole_kit": True})

    assert verdict["outcome"] == "conforms"
    assert verdict["flags"] == ["mix 1: whole kit, not weighed"]


def test_a_whole_kit_that_was_weighed_is_judged_by_its_weights() -> None:
    verdict = judge(BY_WEIGHT, {"whole_kit": True, **parts("1 kg", "380 g")})

    assert verdict["outcome"] == "does_not_conform"
    assert verdict["flags"] == []


def test_a_whole_kit_with_one_part_weighed_is_not_judged_by_half() -> None:
    verdict = judge(BY_WEIGHT, {"whole_kit": True, "part_a": "1 kg"})

    assert verdict["outcome"] == "cannot_be_judged"
    assert verdict["flags"] == []


def test_a_partial_kit_is_marked() -> None:
    verdict = judge(BY_WEIGHT, {"whole_kit": False, **parts("1 kg", "400 g")})

    assert verdict["outcome"] == "conforms"
    assert verdict["flags"] == ["mix 1: partial kit"]


@pytest.mark.parametrize(
    ("whole", "outcome"),
    [(True, "conforms"), (False, "does_not_conform"), (None, "cannot_be_judged")],
)
def test_where_whole_kits_only_are_asked_a_part_of_one_fails(
    whole: bool | None, outcome: str
) -> None:
    reading = {"mix_start": "2026-05-12T10:00Z", "whole_kit": whole}

    assert judge({"whole_kits_only": True}, reading)["outcome"] == outcome


@pytest.mark.parametrize(
    ("part_b", "outcome"),
    [("500 g", "conforms"), ("500.1 g", "does_not_conform"), ("1 l", "cannot_be_judged")],
)
def test_the_largest_mix_counts_both_parts(part_b: str, outcome: str) -> None:
    assert judge({"batch_max": "1.5 kg"}, parts("1 kg", part_b))["outcome"] == outcome


@pytest.mark.parametrize("most", ["5 mm", "0 g", "-1 kg"])
def test_a_largest_mix_is_a_mass_or_volume_above_zero(most: str) -> None:
    with pytest.raises(InvalidValue, match=r"^criteria\.batch_max: .* no amount above 0"):
        judge({"batch_max": most}, parts("1 kg", "1 kg"))


@pytest.mark.parametrize(
    "reading", [{"part_a": "1 kg"}, parts("1 kg", "0 kg"), parts("-0.5 kg", "1 kg")]
)
def test_a_largest_mix_needs_both_parts(reading: dict[str, Any]) -> None:
    assert judge({"batch_max": "1.5 kg"}, reading)["outcome"] == "cannot_be_judged"


KIT = {"mix_start": "2026-05-12T10:00Z", "whole_kit": True}


def amount(criteria: dict[str, Any], reading: dict[str, Any]) -> list[tuple[str, str]]:
    found = judge(criteria, reading)["findings"]
    return [(f["outcome"], f["statement"]) for f in found if f["rule"] == "mixing.amount"]


def test_a_kit_that_was_not_weighed_has_the_amount_of_its_label() -> None:
    most = {"batch_max": "1.5 kg"}

    assert amount({"whole_kits_only": True}, KIT) == []
    ((outcome, said),) = amount(most, KIT)
    assert outcome == "cannot_be_judged"
    assert said.startswith("Mix 1: whole kit not weighed, and the plan does not state what")
    ((outcome, said),) = amount(most | {"kit_amount": "1500 g"}, KIT)
    assert (outcome, "a whole kit, 1.5 kg" in said) == ("conforms", True)
    assert amount(most | {"kit_amount": "1501 g"}, KIT)[0][0] == "does_not_conform"


def test_a_kit_that_was_weighed_has_the_amount_of_the_scale() -> None:
    criteria = {"batch_max": "1.5 kg", "kit_amount": "1 kg"}

    assert amount(criteria, KIT | parts("1 kg", "0.6 kg"))[0][0] == "does_not_conform"
    assert amount(criteria, KIT | {"part_a": "1 kg"})[0][0] == "cannot_be_judged"
    assert amount(criteria, KIT | {"whole_kit": False})[0][0] == "cannot_be_judged"


@pytest.mark.parametrize(
    ("kit", "more", "said"),
    [
        ("0 g", {}, "no amount above 0"),
        ("5 mm", {}, "no amount above 0"),
        ("1 l", {}, "is not a mass, as batch_max is"),
        ("1501 g", {"whole_kits_only": True}, "is above batch_max, 1.5 kg"),
    ],
)
def test_a_kit_that_no_mix_could_be_is_refused(kit: str, more: dict[str, Any], said: str) -> None:
    criteria = {"batch_max": "1.5 kg", "kit_amount": kit} | more

    with pytest.raises(InvalidValue, match=rf"^criteria\.kit_amount: .*{said}"):
        judge(criteria, KIT)


def test_a_guarded_decision_keeps_the_uncertainty_inside_the_tolerance() -> None:
    guarded = BY_WEIGHT | {"decision": "guarded", "expanded_uncertainty": "1 %", "ratio": "1"}

    assert judge(guarded, parts("104 g", "100 g"))["outcome"] == "conforms"
    assert judge(guarded, parts("104.1 g", "100 g"))["outcome"] == "does_not_conform"


AMOUNT = st.decimals("0.001", "99999", places=3)


@given(AMOUNT, AMOUNT)
def test_the_unit_of_a_part_changes_no_outcome(a: Any, b: Any) -> None:
    grams = judge(BY_WEIGHT, parts(f"{a * 1000:f} g", f"{b * 1000:f} g"))
    kilograms = judge(BY_WEIGHT, parts(f"{a:f} kg", f"{b:f} kg"))

    assert grams["outcome"] == kilograms["outcome"]
    assert grams["computed"] == kilograms["computed"]


@given(AMOUNT, AMOUNT)
def test_a_further_deviation_never_improves_the_verdict(b: Any, more: Any) -> None:
    criteria = BY_WEIGHT | {"ratio": "1"}
    near = judge(criteria, parts("100 g", f"{100 + b:f} g"))["outcome"]
    far = judge(criteria, parts("100 g", f"{100 + b + more:f} g"))["outcome"]

    assert (near, far) != ("does_not_conform", "conforms")
