"""ISO 19840 and 90/10: mean, lowest and share below a nominal thickness."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from tests.engine.characteristics.thickness_cases import (
    Verdict,
    finding,
    flagged,
    judge,
    outcomes,
    um,
)

EXAMPLE = um(340, 352, 331, 325, 318, 345, 360, 338, 329, 322)
"""Calculated example, nominal 300 um on 2 m2: mean of the readings 336 um."""

ISO = {"rule": "iso19840", "nominal": "300 um"}
NINETY_TEN = {"rule": "90-10", "nominal": "320 um"}


def iso(values: list[str], **criteria: Any) -> Verdict:
    return judge(ISO | {"surface_profile": "smooth"} | criteria, {"values": values})


@pytest.mark.parametrize(
    ("profile", "bound", "mean", "lowest", "share", "outcome"),
    [
        ("fine", "less_than", "326 um", "308 um", "0 %", "conforms"),
        ("medium", "less_than", "311 um", "293 um", "20 %", "does_not_conform"),
        ("medium", "not_more_than", "311 um", "293 um", "20 %", "conforms"),
        ("unknown", "not_more_than", "311 um", "293 um", "20 %", "conforms"),
        ("25 um", "less_than", "311 um", "293 um", "20 %", "does_not_conform"),
        ("coarse", "not_more_than", "296 um", "278 um", "60 %", "does_not_conform"),
    ],
)
def test_the_worked_example_comes_out_for_every_profile_and_reading_of_the_bound(
    profile: str, bound: str, mean: str, lowest: str, share: str, outcome: str
) -> None:
    """ISO 19840, calculated example."""
    verdict = iso(EXAMPLE, area="2 m2", surface_profile=profile, share_bound=bound)

    assert verdict["outcome"] == outcome
    assert verdict["computed"]["mean"] == mean
    assert verdict["computed"]["lowest"] == lowest
    assert verdict["computed"]["share_below_nominal"] == share


def test_exactly_twenty_per_cent_alone_decides_under_the_strict_reading() -> None:
    verdict = iso(EXAMPLE, area="2 m2", surface_profile="medium")

    failing = {rule for rule, outcome in outcomes(verdict).items() if outcome != "conforms"}
    assert failing == {"thickness.iso19840.share"}
    assert finding(verdict, "thickness.iso19840.share")["limit"] == "below 20 %"


def test_one_reading_more_above_nominal_conforms() -> None:
    """Calculated: 322 replaced by 326, which corrected is 301."""
    verdict = iso([*EXAMPLE[:-1], "326 um"], area="2 m2", surface_profile="medium")

    assert verdict["outcome"] == "conforms"
    assert verdict["computed"]["share_below_nominal"] == "10 %"


@pytest.mark.parametrize(
    ("lowest", "outcome"),
    [("240 um", "conforms"), ("239 um", "does_not_conform"), ("239.999 um", "does_not_conform")],
)
def test_a_value_of_eighty_per_cent_of_nominal_is_the_least_allowed(
    lowest: str, outcome: str
) -> None:
    """Calculated: 0.8 times 300 um."""
    verdict = iso([lowest, *um(*[400] * 9)])

    least = finding(verdict, "thickness.iso19840.least")
    assert least["outcome"] == outcome
    assert least["statement"].startswith("Thickness against 80 % of nominal, ")
    assert verdict["outcome"] == outcome


def test_a_mean_just_below_nominal_fails_and_is_not_shown_as_nominal() -> None:
    """Calculated: mean 299.9 um."""
    verdict = iso(um(310, 298, 305, 296, 300, 297, 303, 295, 299, 296))

    mean = finding(verdict, "thickness.iso19840.mean")
    assert mean["outcome"] == "does_not_conform"
    assert mean["observed"] == "299.9 µm"
    assert verdict["computed"]["mean"] == "299.9 um"


def test_a_mean_a_hair_below_nominal_is_shown_with_the_digits_that_tell() -> None:
    verdict = iso(["299.9999 um", *um(300, 300)], share_bound="not_more_than")

    mean = finding(verdict, "thickness.iso19840.mean")
    assert mean["outcome"] == "does_not_conform"
    assert mean["observed"] != "300.0 µm"


@pytest.mark.parametrize(("highest", "outcome"), [(900, "conforms"), (901, "does_not_conform")])
def test_no_value_may_exceed_the_maximum(highest: int, outcome: str) -> None:
    """Calculated: maximum 900 um."""
    assert iso(um(400, highest), max="900 um")["outcome"] == outcome


def test_a_minimum_beside_the_nominal_is_judged_too() -> None:
    assert iso(um(400, 300), min="300 um")["outcome"] == "conforms"
    assert iso(um(400, 400, 400, 400, 400, 290), min="290 um")["outcome"] == "conforms"
    assert iso(um(400, 400, 400, 400, 400, 289), min="290 um")["outcome"] == "does_not_conform"


def test_a_minimum_above_the_nominal_is_refused() -> None:
    with pytest.raises(InvalidValue, match=r"^criteria\.min: 301 um is above the nominal"):
        iso(um(400), min="301 um")


@pytest.mark.parametrize(
    ("area", "required"),
    [
        ("0.8 m2", 5), ("1 m2", 5), ("1.01 m2", 10), ("3 m2", 10), ("3.01 m2", 15),
        ("10 m2", 15), ("10.01 m2", 20), ("30 m2", 20), ("31 m2", 30), ("100 m2", 30),
        ("100.1 m2", 40), ("200 m2", 40), ("500 m2", 70), ("501 m2", 80), ("10.7 ft2", 5),
        ("10.8 ft2", 10),
    ],
)  # fmt: skip
def test_the_area_asks_for_so_many_readings(area: str, required: int) -> None:
    """ISO 19840, readings by area as printed in a trade journal (500 m2: 70); others calculated."""
    few = iso(um(*[400] * (required - 1)), area=area)
    enough = iso(um(*[400] * required), area=area)

    assert finding(few, "thickness.iso19840.readings")["limit"] == f"at least {required}"
    assert few["outcome"] == "incomplete"
    assert enough["outcome"] == "conforms"


def test_a_plan_may_ask_for_more_readings_than_the_area_but_not_for_fewer() -> None:
    assert iso(um(*[400] * 10), area="2 m2", readings_min=11)["outcome"] == "incomplete"
    assert iso(um(*[400] * 9), area="2 m2", readings_min=3)["outcome"] == "incomplete"


def test_a_large_area_and_a_missing_one_are_flagged() -> None:
    rule = "thickness.iso19840.readings"

    assert not flagged(iso(um(400), area="1000 m2"), rule)
    assert flagged(iso(um(400), area="1000.1 m2"), rule)
    assert flagged(iso(um(400)), rule)
    assert not flagged(iso(um(400), readings_min=1), rule)


def test_without_a_nominal_thickness_nothing_can_be_judged() -> None:
    verdict = judge({"rule": "iso19840"}, {"values": um(400)})

    assert verdict["outcome"] == "cannot_be_judged"
    assert outcomes(verdict)["thickness.iso19840.nominal"] == "cannot_be_judged"
    assert verdict["computed"].get("share_below_nominal") is None


def test_extra_readings_on_thin_places_are_judged_but_not_averaged_in() -> None:
    """ISO 19840, read second-hand."""
    thick, thin = {"values": um(*[400] * 5)}, {"values": um(250), "extra": True}

    verdict = judge(ISO | {"surface_profile": "smooth", "readings_min": 6}, thick, thin)
    assert verdict["outcome"] == "incomplete"
    assert verdict["computed"]["mean"] == "400 um"
    assert verdict["computed"]["lowest"] == "250 um"
    assert verdict["computed"]["share_below_nominal"] == "0 %"

    too_thin = thin | {"values": um(239)}
    assert judge(ISO | {"surface_profile": "smooth"}, thick, too_thin)["outcome"] == (
        "does_not_conform"
    )


def test_extra_readings_alone_are_incomplete() -> None:
    verdict = judge(ISO, {"values": um(400), "extra": True})

    assert verdict["outcome"] == "incomplete"
    assert "mean" not in verdict["computed"]


@pytest.mark.parametrize(
    ("count", "allowed"), [(5, 1), (10, 2), (15, 3), (20, 4), (30, 6), (40, 8)]
)
def test_more_repeated_readings_than_allowed_are_flagged(count: int, allowed: int) -> None:
    """ISO 19840, from memory."""
    values = um(*[400] * count)
    kept = judge(ISO, {"values": values, "repeated": allowed})
    beyond = judge(ISO, {"values": values, "repeated": allowed + 1})

    assert not flagged(kept, "thickness.iso19840.repeats")
    assert flagged(beyond, "thickness.iso19840.repeats")


@pytest.mark.parametrize(
    ("values", "outcome"),
    [
        (um(*[320] * 18, 290, 290), "conforms"),
        (um(*[320] * 17, 300, 300, 300), "does_not_conform"),
        (um(*[330] * 19, 287), "does_not_conform"),
        (um(*[330] * 19, 288), "conforms"),
        (um(*[330] * 19, "287.999"), "does_not_conform"),
    ],
)
def test_ninety_per_cent_reach_nominal_and_none_lies_below_ninety_per_cent_of_it(
    values: list[str], outcome: str
) -> None:
    """90/10 rule, calculated for nominal 320 um."""
    assert judge(NINETY_TEN, {"values": values})["outcome"] == outcome


def test_the_mean_does_not_matter_to_90_10() -> None:
    verdict = judge(NINETY_TEN, {"values": um(*[320] * 9, 300)})

    assert verdict["computed"]["mean"] == "318 um"
    assert verdict["outcome"] == "conforms"


@pytest.mark.parametrize(("area", "required"), [("500 m2", 100), ("501 m2", 101), ("0 m2", 1)])
def test_90_10_asks_for_one_reading_for_each_five_square_metres(area: str, required: int) -> None:
    """IMO performance standard, flat areas; 500 m2: 100 readings as printed in a trade journal."""
    few = judge(NINETY_TEN | {"area": area}, {"values": um(*[330] * max(1, required - 1))})

    assert finding(few, "thickness.90-10.readings")["limit"] == f"at least {required}"
    assert few["outcome"] == ("incomplete" if required > 1 else "conforms")


def test_a_source_that_was_not_read_is_never_quoted() -> None:
    verdict = iso(EXAMPLE, area="0.5 m2")

    source = finding(verdict, "thickness.iso19840.readings")["source"]
    assert "to be confirmed against the licensed text" in source


def test_a_limit_names_the_source_of_the_plan_and_of_the_rule() -> None:
    case = {
        "characteristic": "thickness",
        "criteria": ISO,
        "sources": {"nominal": "painting specification, 4.2"},
        "readings": [{"values": EXAMPLE}],
    }

    verdict = judge_case(case)

    for rule in ("mean", "least"):
        source = finding(verdict, f"thickness.iso19840.{rule}")["source"]
        assert source == (
            "painting specification, 4.2; ISO 19840:2005, acceptance, read second-hand"
        )
