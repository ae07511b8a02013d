"""When hardness readings can be compared: dwell, scale, cure, place, number; and pencils."""

from fractions import Fraction
from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.characteristics.hardness.counts import barcol_readings
from qc.engine.characteristics.hardness.pencil import rank
from qc.engine.fields import InvalidValue

SHORE = {"scale": "shore_d", "min": "50"}
BARCOL = {"scale": "barcol", "min": "10"}
PENCIL = {"scale": "pencil", "grade_min": "H"}


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "hardness", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


def of(*values: object, **more: Any) -> dict[str, Any]:
    return {"values": [str(value) for value in values], **more}


def outcome(criteria: dict[str, Any], *readings: dict[str, Any]) -> str:
    return str(judge(criteria, *readings)["outcome"])


def flagged(verdict: dict[str, Any], rule: str) -> bool:
    return any(flag.startswith(f"{rule}:") for flag in verdict["flags"])


@pytest.mark.parametrize(
    ("dwell", "expected"),
    [
        ("15 s", "conforms"),
        ("14 s", "conforms"),
        ("16 s", "conforms"),
        ("0.25 min", "conforms"),
        ("13.9 s", "cannot_be_judged"),
        ("16.1 s", "cannot_be_judged"),
        ("1 s", "cannot_be_judged"),
        (None, "cannot_be_judged"),
    ],
)
def test_the_dwell_is_that_of_the_plan_within_a_second(dwell: str | None, expected: str) -> None:
    """ISO 868: 15 s within 1 s, from memory."""
    assert outcome(SHORE | {"dwell": "15 s"}, of(80, dwell=dwell)) == expected


FOREIGN = [
    (SHORE | {"dwell": "15 s"}, {"dwell": "15 s"}, {"dwell": "1 s"}),
    (SHORE | {"dwell": "15 s"}, {"dwell": "15 s"}, {}),
    (SHORE, {"scale": "shore_d"}, {"scale": "shore_a"}),
    (BARCOL, {}, {"reference_stated": "80", "reference_measured": "84"}),
]


@pytest.mark.parametrize("statistic", ["mean", "median", "each"])
@pytest.mark.parametrize(("plan", "own", "foreign"), FOREIGN)
def test_what_cannot_be_compared_enters_no_figure(
    plan: dict[str, Any], own: dict[str, Any], foreign: dict[str, Any], statistic: str
) -> None:
    """Common practice: hardness is compared on one scale and after one dwell only."""
    criteria = plan | {"statistic": statistic, "readings_min": 2}

    verdict = judge(criteria, of(1, **foreign), of(60, 64, **own))
    alone = judge(criteria, of(1, **foreign))

    assert verdict["outcome"] == alone["outcome"] == "cannot_be_judged"
    assert verdict["computed"] | {"limit": None} == {
        "mean": "62", "median": "62", "lowest": "60", "limit": None
    }  # fmt: skip
    outcomes = {f["rule"]: f["outcome"] for f in verdict["findings"]}
    assert outcomes["hardness.readings"] == outcomes["hardness.min"] == "conforms"
    assert alone["computed"]["mean"] is None
    assert any("left out" in f["statement"] for f in verdict["findings"])


def test_a_pencil_grade_after_another_dwell_is_left_out() -> None:
    criteria = PENCIL | {"dwell": "30 s"}

    verdict = judge(criteria, {"grades": ["2B"]}, {"grades": ["2H"], "dwell": "30 s"})

    assert verdict["outcome"] == "cannot_be_judged"
    assert verdict["computed"] == {"lowest_grade": "2H"}


def test_the_tolerance_of_the_dwell_is_the_plan_s() -> None:
    criteria = SHORE | {"dwell": "15 s", "dwell_tolerance": "0 s"}

    assert outcome(criteria, of(80, dwell="15 s")) == "conforms"
    assert outcome(criteria, of(80, dwell="15.1 s")) == "cannot_be_judged"


def test_only_a_tolerance_from_memory_is_marked() -> None:
    plan = SHORE | {"dwell": "15 s"}

    sources = [
        next(f["source"] for f in verdict["findings"] if f["rule"] == "hardness.dwell")
        for verdict in (judge(plan, of(80)), judge(plan | {"dwell_tolerance": "1 s"}, of(80)))
    ]

    assert [("to be confirmed" in source) for source in sources] == [True, False]


def test_one_reading_with_another_dwell_is_enough_to_refuse() -> None:
    criteria = SHORE | {"dwell": "15 s"}

    verdict = judge(criteria, of(80, dwell="15 s"), of(80, dwell="1 s"))

    assert verdict["outcome"] == "cannot_be_judged"
    (found,) = [f for f in verdict["findings"] if f["rule"] == "hardness.dwell"]
    assert found["statement"].startswith("Reading 2: read after 1 s")


def test_without_a_dwell_in_the_plan_none_is_asked_for() -> None:
    assert outcome(SHORE, of(80)) == "conforms"


def test_another_scale_cannot_be_compared() -> None:
    assert outcome(SHORE, of(80, scale="Shore D")) == "conforms"
    assert outcome(SHORE, of(80, scale="Shore A")) == "cannot_be_judged"


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, "conforms"),
        ({"qualified_scale": "shore_d", "same_cure_schedule": True}, "conforms"),
        ({"qualified_scale": "barcol"}, "cannot_be_judged"),
        ({"same_cure_schedule": False}, "cannot_be_judged"),
    ],
)
def test_a_qualification_holds_for_its_own_scale_and_cure(
    more: dict[str, Any], expected: str
) -> None:
    criteria = {"scale": "shore_d", "qualified_min": "80"}

    assert outcome(criteria | more, of(80)) == expected


@pytest.mark.parametrize(
    ("scale", "value", "is_flagged"),
    [
        ("shore_d", "20", False), ("shore_d", "19.9", True), ("shore_d", "95", False),
        ("shore_a", "90", False), ("shore_a", "90.1", True), ("shore_a", "10", False),
        ("barcol", "10", False),
    ],
)  # fmt: skip
def test_readings_outside_the_usable_range_are_flagged(
    scale: str, value: str, is_flagged: bool
) -> None:
    """Shore A above 90 as ISO 868, read second-hand; Shore D below 20 from memory."""
    verdict = judge({"scale": scale, "min": "0"}, of("50", value, "50"))

    assert flagged(verdict, "hardness.range") is is_flagged


@pytest.mark.parametrize(
    ("criteria", "field", "least", "below"),
    [
        (SHORE, "specimen_thickness", "6 mm", "5.99 mm"),
        (SHORE, "edge_distance", "12 mm", "11.9 mm"),
        (SHORE, "spacing", "6 mm", "5.9 mm"),
        (SHORE | {"test_method": "iso868"}, "specimen_thickness", "4 mm", "3.9 mm"),
        (SHORE | {"test_method": "iso868"}, "edge_distance", "9 mm", "8.9 mm"),
        (SHORE | {"test_method": "iso48-4"}, "specimen_thickness", "6 mm", "5.9 mm"),
        (BARCOL, "specimen_thickness", "1.5 mm", "1.49 mm"),
        (BARCOL, "edge_distance", "3 mm", "2.9 mm"),
        (BARCOL, "spacing", "3 mm", "0.118 in"),
        (SHORE, "specimen_thickness", "0.25 in", "0.236 in"),
    ],
)
def test_a_value_taken_too_thin_or_too_near_is_an_apparent_one(
    criteria: dict[str, Any], field: str, least: str, below: str
) -> None:
    """ASTM D2240 and D2583 read second-hand; ISO 868 and ISO 48-4 from memory."""
    assert not flagged(judge(criteria, of(80, **{field: least})), f"hardness.{field}")
    verdict = judge(criteria, of(80, **{field: below}))
    assert flagged(verdict, f"hardness.{field}")
    assert any("apparent value" in flag for flag in verdict["flags"])


@pytest.mark.parametrize(
    ("temperature", "is_flagged"),
    [
        ("21 degC", False), ("25 degC", False), ("20.9 degC", True), ("25.1 degC", True),
        ("73 degF", False), ("80 degF", True),
    ],
)  # fmt: skip
def test_a_surface_away_from_laboratory_temperature_is_flagged(
    temperature: str, is_flagged: bool
) -> None:
    """ASTM D2240: 23 within 2 degC, read second-hand."""
    verdict = judge(SHORE, of(80, surface_temperature=temperature))

    assert flagged(verdict, "hardness.temperature") is is_flagged
    assert verdict["outcome"] == "conforms"


@pytest.mark.parametrize(
    ("measured", "expected"),
    [("84", "conforms"), ("90", "conforms"), ("83.9", "cannot_be_judged"),
     ("90.1", "cannot_be_judged")],
)  # fmt: skip
def test_an_impressor_that_misses_its_reference_proves_nothing(
    measured: str, expected: str
) -> None:
    """EN 59: 3 in all, read second-hand."""
    reading = of(50, reference_stated="87", reference_measured=measured)

    assert outcome(BARCOL, reading) == expected
    assert outcome(SHORE, reading) == "conforms"
    for half in ("reference_stated", "reference_measured"):
        assert outcome(BARCOL, reading | {half: None}) == "conforms"


@pytest.mark.parametrize("method", ["ASTM D2240", "ISO 868", "ISO 48-4"])
def test_a_method_that_is_stated_asks_for_five_readings(method: str) -> None:
    criteria = SHORE | {"test_method": method}

    assert outcome(criteria, of(*[80] * 4)) == "incomplete"
    assert outcome(criteria, of(*[80] * 5)) == "conforms"
    assert outcome(criteria | {"readings_min": 6}, of(*[80] * 5)) == "incomplete"


@pytest.mark.parametrize(
    ("material", "hardness", "count"),
    [
        ("reinforced", "30", 29), ("reinforced", "40", 22), ("reinforced", "50", 16),
        ("reinforced", "60", 10), ("reinforced", "70", 5), ("reinforced", "75", 5),
        ("reinforced", "69.9", 10), ("reinforced", "20", 29), ("homogeneous", "20", 9),
        ("homogeneous", "30", 8), ("homogeneous", "40", 7), ("homogeneous", "50", 6),
        ("homogeneous", "60", 5), ("homogeneous", "70", 4), ("homogeneous", "80", 3),
        ("homogeneous", "10", 9), ("homogeneous", "59.9", 6),
    ],
)  # fmt: skip
def test_barcol_asks_for_more_readings_the_softer_the_material(
    material: str, hardness: str, count: int
) -> None:
    """ASTM D2583, number of readings, from memory."""
    assert barcol_readings(Fraction(hardness), material) == count
    criteria = BARCOL | {"material": material}
    assert outcome(criteria, of(*[hardness] * (count - 1))) == "incomplete"
    assert outcome(criteria, of(*[hardness] * count)) == "conforms"


@pytest.mark.parametrize(
    ("material", "hardness", "variance", "of_the_mean"),
    [
        ("reinforced", "30", "22.4", "0.78"), ("reinforced", "40", "17.2", "0.78"),
        ("reinforced", "50", "12.0", "0.78"), ("reinforced", "60", "7.8", "0.78"),
        ("reinforced", "70", "3.6", "0.78"), ("homogeneous", "20", "2.47", "0.28"),
        ("homogeneous", "30", "2.20", "0.28"), ("homogeneous", "40", "1.93", "0.28"),
        ("homogeneous", "50", "1.66", "0.28"), ("homogeneous", "60", "1.39", "0.28"),
        ("homogeneous", "70", "1.12", "0.28"), ("homogeneous", "80", "0.85", "0.28"),
    ],
)  # fmt: skip
def test_the_barcol_numbers_hold_the_variance_of_the_mean(
    material: str, hardness: str, variance: str, of_the_mean: str
) -> None:
    """ASTM D2583, variances from memory: the number times the variance of the mean is that of one
    reading, within a reading. 17.2/0.78 is 22.05 and the table has 22, so it is looked up."""
    wanted = Fraction(variance) / Fraction(of_the_mean)

    assert abs(barcol_readings(Fraction(hardness), material) - wanted) < 1


@pytest.mark.parametrize(
    ("grade", "place"), [("9B", 0), ("B", 8), ("HB", 9), ("F", 10), ("H", 11), ("9H", 19)]
)
def test_pencils_are_ranked_from_9b_to_9h(grade: str, place: int) -> None:
    """ISO 15184: 20 grades; ranks calculated."""
    assert rank(grade) == place


@pytest.mark.parametrize(
    ("grades", "expected"),
    [
        (["2H"], "conforms"),
        (["H"], "conforms"),
        (["F"], "does_not_conform"),
        (["2h", "hb"], "does_not_conform"),
        ([], "cannot_be_judged"),
    ],
)
def test_every_pencil_grade_must_reach_the_plan_s(grades: list[str], expected: str) -> None:
    verdict = judge(PENCIL, {"grades": grades})

    assert verdict["outcome"] == expected
    stated = [f["statement"] for f in verdict["findings"] if f["rule"] == "hardness.grade_min"]
    assert all(("is missed by" in text) == (expected != "conforms") for text in stated)


def test_the_softest_pencil_grade_is_the_result() -> None:
    verdict = judge(PENCIL, {"grades": ["2H", "H"]}, {"grades": ["3H"]})

    assert verdict["computed"] == {"lowest_grade": "H"}
    assert flagged(verdict, "hardness.repeats")
    assert not judge(PENCIL, {"grades": ["2H", "H"]})["flags"]


def test_what_is_wrong_with_a_reading_names_the_reading() -> None:
    good, bad = of(50), of(15, scale="barcol", surface_temperature="40 degC", edge_distance="2 mm")
    off = {"reference_stated": "87", "reference_measured": "80"}

    verdict = judge(BARCOL, good, bad | off)

    for rule in ("hardness.edge_distance", "hardness.temperature"):
        assert any(flag.startswith(f"{rule}: reading 2:") for flag in verdict["flags"])
    (found,) = [f for f in verdict["findings"] if f["rule"] == "hardness.reference"]
    assert found["statement"].startswith("Reading 2:")
    (found,) = [f for f in judge(SHORE, of(80), bad)["findings"] if f["rule"] == "hardness.scale"]
    assert found["statement"].startswith("Reading 2:")


def test_a_plan_without_a_pencil_grade_cannot_be_judged() -> None:
    assert outcome({"scale": "pencil"}, {"grades": ["H"]}) == "cannot_be_judged"


def test_fewer_pencil_tests_than_asked_for_are_incomplete() -> None:
    assert outcome(PENCIL | {"readings_min": 2}, {"grades": ["H"]}) == "incomplete"


def test_an_unknown_pencil_is_refused() -> None:
    with pytest.raises(InvalidValue, match=r"^readings\[0\]\.grades\[0\]"):
        judge(PENCIL, {"grades": ["10H"]})
