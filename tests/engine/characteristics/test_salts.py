"""Soluble salts: limits, constants, units, and the precision of the method."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

PLAN = {"max": "50 mg/m2", "basis": "mixed", "volume": "15 ml", "patch_area": "1250 mm2"}


def judge(criteria: dict[str, Any], *tests: dict[str, Any]) -> dict[str, Any]:
    return judge_case({"characteristic": "salts", "criteria": criteria, "readings": list(tests)})


def rise(microsiemens: Any, **more: Any) -> dict[str, Any]:
    """A test over a blank of 2 uS/cm."""
    return {"blank": "2 uS/cm", "conductivity": f"{float(microsiemens) + 2:.4g} uS/cm", **more}


def finding(verdict: dict[str, Any], rule: str) -> dict[str, str]:
    (found,) = (f for f in verdict["findings"] if f["rule"] == rule)
    return found


@pytest.mark.parametrize(
    ("volume", "basis", "limit", "measured", "density", "outcome"),
    [
        (15, "mixed", 50, 8.3, "49.8 mg/m2", "conforms"),
        (15, "mixed", 50, 8.4, "50.4 mg/m2", "does_not_conform"),
        (10, "mixed", 50, 12.5, "50 mg/m2", "conforms"),
        (3, "mixed", 50, 41.6, "49.92 mg/m2", "conforms"),
        (3, "mixed", 50, 41.7, "50.04 mg/m2", "does_not_conform"),
        (15, "mixed", 20, 3.3, "19.8 mg/m2", "conforms"),
        (15, "mixed", 20, 3.4, "20.4 mg/m2", "does_not_conform"),
        (3, "mixed", 50, 22, "26.4 mg/m2", "conforms"),
        (15, "mixed", 50, 22, "132 mg/m2", "does_not_conform"),
        (3, "nacl", 50, 45.2, "50.161152 mg/m2", "does_not_conform"),
    ],
)
def test_the_density_follows_volume_and_salts(
    volume: int, basis: str, limit: int, measured: float, density: str, outcome: str
) -> None:
    """Calculated from ISO 8502-9, patch of 1250 mm2."""
    criteria = PLAN | {"max": f"{limit} mg/m2", "basis": basis, "volume": f"{volume} ml"}

    verdict = judge(criteria, rise(measured))

    assert verdict["computed"]["density"] == [density]
    assert verdict["outcome"] == outcome


def test_a_constant_of_the_plan_replaces_that_of_the_basis() -> None:
    """Calculated: a factor rounded to 1.1 for 3 ml is a constant of 4.5833; 45.2 is then 49.72."""
    criteria = PLAN | {"basis": "nacl", "volume": "3 ml"}

    assert judge(criteria, rise("45.2"))["outcome"] == "does_not_conform"
    rounded = judge(criteria | {"constant": "4.583333"}, rise("45.2"))
    assert rounded["outcome"] == "conforms"
    assert rounded["computed"]["density"][0].startswith("49.71999")


def test_the_finding_names_salts_and_constant_and_where_it_is_from() -> None:
    found = finding(judge(PLAN | {"basis": "nacl"}, rise("9")), "salts.density.max")

    assert "Soluble salts as sodium chloride, reading 1, " in found["statement"]
    assert "constant 4.624: calculated from molar mass" in found["source"]
    own = finding(judge(PLAN | {"constant": "4.8"}, rise("8")), "salts.density.max")
    assert "constant 4.8: as given in the criteria" in own["source"]
    only = {n: v for n, v in PLAN.items() if n != "basis"} | {"constant": "4.8"}
    assert (
        "Soluble salts by the constant 4.8, reading 1, "
        in finding(judge(only, rise("8")), "salts.density.max")["statement"]
    )


def test_what_the_meter_may_show_is_told() -> None:
    """Calculated: 50 mg/m2 of sodium chloride cause 9.0 uS/cm in 15 ml."""
    computed = judge(PLAN | {"basis": "nacl"}, rise("4"))["computed"]

    assert computed["rise_at_limit"] == ["9.010957 uS/cm"]
    assert computed["factor"] == ["5.5488 mg/m2"]
    assert computed["rise"] == ["4 uS/cm"]


def test_a_test_may_state_its_own_volume_and_patch() -> None:
    own = rise("12.5", volume="10 ml", patch_area="12.5 cm2")

    assert judge(PLAN, own)["computed"]["density"] == ["50 mg/m2"]
    assert judge(PLAN, rise("12.5"))["computed"]["density"] == ["75 mg/m2"]


@pytest.mark.parametrize(
    ("limit", "outcome"),
    [("5 ug/cm2", "conforms"), ("50 mg/m2", "conforms"), ("4.99 ug/cm2", "does_not_conform")],
)
def test_a_limit_keeps_its_unit(limit: str, outcome: str) -> None:
    """1 ug/cm2 is 10 mg/m2."""
    found = finding(
        judge(PLAN | {"max": limit, "volume": "10 ml"}, rise("12.5")), "salts.density.max"
    )

    assert found["outcome"] == outcome
    assert found["observed"].split()[1] == {"ug/cm2": "µg/cm²", "mg/m2": "mg/m²"}[limit.split()[1]]


@pytest.mark.parametrize(
    ("subtract", "density"), [(None, "48 mg/m2"), (True, "48 mg/m2"), (False, "60 mg/m2")]
)
def test_the_blank_is_taken_off_unless_the_plan_says_otherwise(
    subtract: bool | None, density: str
) -> None:
    criteria = PLAN | ({} if subtract is None else {"subtract_blank": subtract})

    assert judge(criteria, rise("8"))["computed"]["density"] == [density]


def test_without_a_blank_only_a_plan_that_takes_none_off_is_judged() -> None:
    alone = {"conductivity": "8 uS/cm"}

    assert judge(PLAN, alone)["outcome"] == "cannot_be_judged"
    assert judge(PLAN | {"subtract_blank": False}, alone)["outcome"] == "conforms"


@pytest.mark.parametrize(
    ("measured", "is_near"),
    [
        ("41.75", False),
        ("41.8", True),
        ("42", True),
        ("50", True),
        ("58", True),
        ("58.2", True),
        ("58.25", False),
    ],
)
def test_a_single_result_within_the_precision_of_the_limit_is_flagged_and_decided_simply(
    measured: str, is_near: bool
) -> None:
    """NACE SP0508, abstract: 8.2 mg/m2 on a single result between 30 and 80 mg/m2."""
    verdict = judge(PLAN | {"volume": "2.5 ml"}, rise(measured))

    assert verdict["computed"]["density"] == [f"{measured} mg/m2"]
    assert any("salts.precision: reading 1" in flag for flag in verdict["flags"]) is is_near
    assert (verdict["outcome"] == "conforms") is (float(measured) <= 50)


@pytest.mark.parametrize(
    ("limit", "measured", "is_near"),
    [
        ("25 mg/m2", "29.9", False),
        ("25 mg/m2", "30", True),
        ("85 mg/m2", "80", True),
        ("85 mg/m2", "80.1", False),
    ],
)
def test_the_precision_is_known_between_30_and_80_only(
    limit: str, measured: str, is_near: bool
) -> None:
    verdict = judge(PLAN | {"volume": "2.5 ml", "max": limit}, rise(measured))

    assert any("salts.precision" in flag for flag in verdict["flags"]) is is_near


def test_any_one_test_above_the_limit_rejects_unless_the_plan_takes_the_mean() -> None:
    """UFGS 09970 to 09973: one or more readings greater than the limit."""
    tests = [rise("2"), rise("9"), rise("4")]

    each, by_mean = judge(PLAN, *tests), judge(PLAN | {"statistic": "mean"}, *tests)

    assert each["outcome"] == "does_not_conform"
    assert "reading 2, highest of 3" in finding(each, "salts.density.max")["statement"]
    assert by_mean["outcome"] == "conforms"
    assert by_mean["computed"]["mean"] == each["computed"]["mean"] == "30 mg/m2"
    assert each["computed"]["highest"] == "54 mg/m2"


def test_a_mean_on_the_limit_conforms() -> None:
    """Calculated: the mean of 8.3, 8.4 and 8.5 uS/cm is 8.4, which is 50.4 mg/m2 in 15 ml."""
    criteria = PLAN | {"statistic": "mean", "max": "50.4 mg/m2"}

    assert judge(criteria, rise("8.3"), rise("8.4"), rise("8.5"))["outcome"] == "conforms"
    stricter = criteria | {"max": "50.399999 mg/m2"}
    assert judge(stricter, rise("8.3"), rise("8.4"), rise("8.5"))["outcome"] == "does_not_conform"


@pytest.mark.parametrize(
    ("chloride", "outcome"),
    [
        ("3 ug/cm2", "conforms"),
        ("30 mg/m2", "conforms"),
        ("3.01 ug/cm2", "does_not_conform"),
        ("30.1 mg/m2", "does_not_conform"),
    ],
)
def test_chloride_has_a_limit_of_its_own(chloride: str, outcome: str) -> None:
    """3 ug/cm2 is 30 mg/m2 of chloride."""
    verdict = judge({"chloride_max": "3 ug/cm2"}, {"chloride": chloride})

    assert verdict["outcome"] == outcome
    assert verdict["computed"]["chloride_highest"].endswith("mg/m2")


def test_chloride_is_told_as_sodium_chloride_and_not_judged_as_such() -> None:
    """Calculated, 58.4428 to 35.453: 3 ug/cm2 of chloride are 49.5 mg/m2 of sodium chloride."""
    criteria = PLAN | {"basis": "nacl", "max": "40 mg/m2", "chloride_max": "3 ug/cm2"}

    verdict = judge(criteria, rise("4"), {"chloride": "3 ug/cm2"})

    assert verdict["outcome"] == "conforms"
    assert verdict["computed"]["chloride_as_nacl"] == [None, "49.453756 mg/m2"]
    assert "chloride_as_nacl" not in judge(PLAN, rise("4"))["computed"]


@pytest.mark.parametrize(
    ("volume", "within", "beyond"),
    [("3 ml", "45.05", "45.06"), ("10 ml", "13.51", "13.52"), ("15 ml", "9.01", "9.02")],
)
def test_fifty_of_sodium_chloride_allow_the_rise_that_they_cause(
    volume: str, within: str, beyond: str
) -> None:
    """IMO MSC.1/Circ.1378: the conductivity is compared with that of 50 mg/m2 of sodium chloride,
    up to which it is accepted; rises calculated, ideal dilution: 45.1, 13.5 and 9.0."""
    criteria = PLAN | {"basis": "nacl", "volume": volume}

    assert judge(criteria, rise(within))["outcome"] == "conforms"
    assert judge(criteria, rise(beyond))["outcome"] == "does_not_conform"


@pytest.mark.parametrize(
    ("criteria", "on", "beyond"),
    [
        ({"chloride_max": "5 ug/cm2"}, {"chloride": "5 ug/cm2"}, {"chloride": "5.01 ug/cm2"}),
        ({"conductivity_max": "30 uS/cm"}, rise("30"), rise("30.1")),
        ({"conductivity_max": "70 uS/cm"}, rise("70"), rise("70.1")),
    ],
)
def test_limits_of_ships_from_memory_on_both_sides(
    criteria: dict[str, Any], on: dict[str, Any], beyond: dict[str, Any]
) -> None:
    """From memory: chloride 3 ug/cm2 immersed and 5 not, or 30 and 70 uS/cm."""
    assert judge(criteria, on)["outcome"] == "conforms"
    assert judge(criteria, beyond)["outcome"] == "does_not_conform"


def test_chloride_and_salts_from_conductivity_never_stand_for_each_other() -> None:
    both = PLAN | {"chloride_max": "30 mg/m2"}

    assert judge(both, rise("4"))["outcome"] == "incomplete"
    assert judge(both, {"chloride": "10 mg/m2"})["outcome"] == "incomplete"
    assert judge(both, rise("4"), {"chloride": "10 mg/m2"})["outcome"] == "conforms"
    assert judge(both, rise("9"), {"chloride": "10 mg/m2"})["outcome"] == "does_not_conform"
    assert judge(both, rise("4", chloride="31 mg/m2"))["outcome"] == "does_not_conform"


@pytest.mark.parametrize(
    ("measured", "outcome"), [("30", "conforms"), ("30.1", "does_not_conform")]
)
def test_a_limit_on_the_rise_itself_needs_no_volume(measured: str, outcome: str) -> None:
    assert judge({"conductivity_max": "30 uS/cm"}, rise(measured))["outcome"] == outcome


GUARDED = PLAN | {"decision": "guarded", "expanded_uncertainty": "0.82 ug/cm2", "volume": "2.5 ml"}


@pytest.mark.parametrize(
    ("measured", "outcome"), [("41.8", "conforms"), ("41.9", "does_not_conform")]
)
def test_a_guarded_decision_keeps_inside_the_limit(measured: str, outcome: str) -> None:
    """Calculated: 50 less 8.2 mg/m2."""
    assert judge(GUARDED, rise(measured))["outcome"] == outcome


def test_the_uncertainty_of_one_quantity_does_not_guard_the_other() -> None:
    both = GUARDED | {"chloride_max": "30 mg/m2"}
    test = rise("45", chloride="25 mg/m2")

    def guarded(**more: str) -> list[str]:
        found = judge(both | more, test)["findings"]
        return [f["rule"] for f in found if "guarded" in f["limit"]]

    assert guarded() == ["salts.density.max", "salts.chloride.max"]
    assert guarded(uncertainty_of="conductivity") == ["salts.density.max"]
    assert guarded(uncertainty_of="chloride") == ["salts.chloride.max"]


def test_a_plan_that_limits_salts_without_saying_which_is_refused() -> None:
    with pytest.raises(InvalidValue, match=r"^criteria\.basis: .*mixed or nacl"):
        judge({"max": "50 mg/m2"}, rise("4"))


@pytest.mark.parametrize(
    "wrong",
    [
        {"max": "50 ppm"},
        {"max": "-1 mg/m2"},
        {"volume": "0 ml"},
        {"patch_area": "0 mm2"},
        {"constant": "0"},
        {"basis": "chloride"},
        {"statistic": "median"},
        {"weld_share_min": "101 %"},
        {"readings_min": 0},
    ],
)
def test_limits_without_sense_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^criteria\.{next(iter(wrong))}: "):
        judge(PLAN | wrong, rise("4"))


@pytest.mark.parametrize(
    "wrong",
    [
        {"conductivity": "-1 uS/cm"},
        {"conductivity": "12 mS"},
        {"conductivity": 12},
        {"volume": "0 ml"},
        {"chloride": "3 ppm"},
        {"solution_lost": "no"},
    ],
)
def test_readings_without_sense_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^readings\[0\]\.{next(iter(wrong))}: "):
        judge(PLAN, rise("4") | wrong)
