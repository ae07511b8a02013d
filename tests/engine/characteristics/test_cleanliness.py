"""Cleanliness: the required grade and what belongs to it, at every place."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.characteristics.cleanliness.grades import GRADES
from qc.engine.fields import InvalidValue

DONE = {"degreased": True, "profile": "50 um"}
FLASH_RUST = ["H", "M", "L", "none"]


def judge(criteria: dict[str, Any], *places: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "cleanliness", "criteria": criteria, "readings": list(places)}
    return judge_case(case)


def outcome(required: str, achieved: str, **more: Any) -> str:
    return str(judge({"required": required}, {"achieved": achieved, **DONE, **more})["outcome"])


def findings(criteria: dict[str, Any], *places: dict[str, Any]) -> dict[str, str]:
    return {f["rule"]: f["outcome"] for f in judge(criteria, *places)["findings"]}


@pytest.mark.parametrize(
    ("required", "achieved", "expected"),
    [
        ("Sa 2½", "Sa 3", "conforms"),
        ("Sa 2½", "Sa 2½", "conforms"),
        ("Sa 2½", "Sa 2", "does_not_conform"),
        ("St 2", "St 3", "conforms"),
        ("St 3", "St 2", "does_not_conform"),
        ("St 3", "Sa 2½", "cannot_be_judged"),
        ("Sa 2½", "SP 10", "cannot_be_judged"),
        ("SP 6", "SP 14", "does_not_conform"),
        ("SP 14", "SP 6", "conforms"),
        ("SP 3", "SP 11", "conforms"),
        ("SP 11", "SP 3", "does_not_conform"),
        ("SP 6", "SP 11", "cannot_be_judged"),
        ("P2", "P3", "conforms"),
        ("P2", "P1", "does_not_conform"),
    ],
)
def test_the_truth_table_of_grades_comes_out(required: str, achieved: str, expected: str) -> None:
    assert outcome(required, achieved) == expected


@pytest.mark.parametrize(
    ("grade", "flash_rust", "expected"),
    [
        ("Wa 2½", "L", "conforms"),
        ("Wa 2½", "M", "conforms"),
        ("Wa 2½", "none", "conforms"),
        ("Wa 2½", "H", "does_not_conform"),
        ("Wa 2", "L", "does_not_conform"),
        ("Wa 2½", None, "incomplete"),
    ],
)
def test_after_water_jetting_grade_and_flash_rust_must_both_meet(
    grade: str, flash_rust: str | None, expected: str
) -> None:
    criteria = {"required": "Wa 2½", "flash_rust_max": "M"}

    assert judge(criteria, {"achieved": grade, "flash_rust": flash_rust})["outcome"] == expected


@pytest.mark.parametrize("most", FLASH_RUST)
@pytest.mark.parametrize("seen", FLASH_RUST)
def test_flash_rust_is_ordered_from_heavy_to_none(seen: str, most: str) -> None:
    expected = FLASH_RUST.index(seen) >= FLASH_RUST.index(most)

    verdict = judge({"flash_rust_max": most}, {"flash_rust": seen})

    assert (verdict["outcome"] == "conforms") is expected


def test_a_jetted_grade_without_a_flash_rust_limit_is_flagged() -> None:
    jetted = {"achieved": "WJ-2", "degreased": True}

    assert judge({"required": "WJ-2"}, jetted)["flags"] == ["flash_rust_limit_not_set"]
    assert judge({"required": "WJ-2", "flash_rust_max": "L"}, jetted)["flags"] == []
    assert judge({"required": "Sa 2"}, {"achieved": "Sa 2"})["flags"] == []


@pytest.mark.parametrize(
    "spelling",
    [
        "SP 10",
        "SP10",
        "sp-10",
        "SSPC-SP 10",
        "SSPC SP10",
        "NACE 2",
        "NACE No. 2",
        "sspc-sp10/nace 2",
    ],
)
def test_a_grade_may_be_written_in_any_usual_way(spelling: str) -> None:
    assert outcome("SP 10", spelling) == "conforms"
    assert outcome(spelling, "SP 6") == "does_not_conform"


@pytest.mark.parametrize(
    "spelling", ["Sa 2½", "Sa 2 ½", "sa2½", "Sa 2 1/2", "Sa 2.5", "SA 2.5", "Sa2 1/2"]
)
def test_a_half_may_be_written_in_any_usual_way(spelling: str) -> None:
    assert outcome("Sa 2½", spelling) == "conforms"
    assert outcome("Sa 3", spelling) == "does_not_conform"


@pytest.mark.parametrize(
    "listed", [[["Sa 2½", "SP 10"]], ["Sa 2½", "SP 10"], "Sa 2.5 = SSPC-SP 10"]
)
def test_an_equivalent_that_the_plan_lists_meets(listed: Any) -> None:
    criteria = {"required": "Sa 2½", "equivalents": listed}

    verdict = judge(criteria, {"achieved": "SP 10", **DONE})

    assert verdict["outcome"] == "conforms"
    assert "by the plan's equivalent SP 10" in verdict["findings"][0]["statement"]
    assert judge(criteria, {"achieved": "SP 6", **DONE})["outcome"] == "does_not_conform"
    assert judge(criteria, {"achieved": "SP 10"})["outcome"] == "incomplete"


@pytest.mark.parametrize(
    "listed",
    [
        [["Sa 2½", "Sa 2"]],
        [["Sa 2½", "SP 10"], ["SP 10", "Sa 2"]],
        [["SP 10", "SP 7"]],
        [["Sa 2½"]],
        [["Sa 2½", "SP 10", "SP 5"]],
        [["Sa 2½", "clean"]],
        "Sa 2½",
        7,
    ],
)
def test_equivalents_that_make_no_sense_are_refused(listed: Any) -> None:
    with pytest.raises(InvalidValue, match=r"^criteria\.equivalents"):
        judge({"required": "Sa 2½", "equivalents": listed}, {"achieved": "Sa 2½"})


@pytest.mark.parametrize("grade", ["Sa 1", "Sa 2", "St 2", "St 3"])
def test_rust_grade_a_has_no_photograph_of_the_lesser_grades(grade: str) -> None:
    """28 photographs in all: 4 of rust grades, 14 blasted, 6 by tool, 4 by flame (calculated)."""
    required = grade[:3] + "2" if grade != "Sa 1" else grade

    assert outcome(required, grade, rust_grade="A") == "cannot_be_judged"
    for rust in "BCD":
        assert outcome(required, grade, rust_grade=rust) == "conforms"


@pytest.mark.parametrize("grade", ["Sa 2½", "Sa 3", "Fl", "SP 6", "SP 3", "P Sa 2"])
def test_rust_grade_a_allows_the_cleaner_grades_and_other_systems(grade: str) -> None:
    assert outcome(grade, grade, rust_grade="A") == "conforms"


@pytest.mark.parametrize(
    ("rust", "painted", "expected"),
    [
        ("A", True, "cannot_be_judged"),
        ("B", True, "cannot_be_judged"),
        ("C", True, "conforms"),
        ("D", True, "conforms"),
        ("B", False, "conforms"),
    ],
)
def test_steel_painted_before_is_compared_with_rust_grades_c_and_d(
    rust: str, painted: bool, expected: str
) -> None:
    found = outcome("Sa 2½", "Sa 2½", rust_grade=rust, previously_painted=painted)

    assert found == expected


@pytest.mark.parametrize(
    ("grade", "degreased", "expected"),
    [
        ("SP 5", None, "incomplete"),
        ("SP 2", None, "incomplete"),
        ("WJ-1", None, "incomplete"),
        ("SP 5", False, "does_not_conform"),
        ("SP 5", True, "conforms"),
        ("Sa 3", None, "conforms"),
        ("Sa 3", False, "does_not_conform"),
        ("SP 1", None, "conforms"),
        ("P2", False, "conforms"),
    ],
)
def test_oil_and_grease_come_off_first(grade: str, degreased: bool | None, expected: str) -> None:
    assert outcome(grade, grade, degreased=degreased) == expected


@pytest.mark.parametrize(("grade", "source"), [("SP 6", "SSPC-SP 1"), ("Sa 2", "common practice")])
def test_degreasing_names_its_own_source(grade: str, source: str) -> None:
    verdict = judge({"required": grade}, {"achieved": grade, "degreased": False})

    found = {f["rule"]: f["source"] for f in verdict["findings"]}
    assert source in found["cleanliness.degreased"]


@pytest.mark.parametrize("grade", ["SP 11", "SP 15"])
@pytest.mark.parametrize(
    ("profile", "expected"),
    [
        ("25 um", "conforms"),
        ("24.999 um", "does_not_conform"),
        ("20 um", "does_not_conform"),
        ("0.99 mil", "conforms"),
        ("0.98 mil", "does_not_conform"),
        (None, "incomplete"),
    ],
)
def test_a_profile_of_25_micrometres_is_part_of_the_grade(
    grade: str, profile: str | None, expected: str
) -> None:
    """SSPC-SP 11 and SP 15, scope; 0.99 mil is 25.1 and 0.98 mil 24.9 micrometres."""
    assert outcome(grade, grade, profile=profile) == expected


def test_the_profile_counts_only_where_the_deciding_grade_includes_one() -> None:
    assert outcome("SP 3", "SP 11", profile=None) == "conforms"
    assert outcome("SP 3", "SP 11", profile="20 um") == "conforms"
    assert outcome("SP 15", "SP 11", profile="20 um") == "does_not_conform"
    by_equivalent = {"required": "SP 6", "equivalents": [["SP 6", "SP 11"]]}
    assert judge(by_equivalent, {"achieved": "SP 11", "degreased": True})["outcome"] == "incomplete"
    assert judge(by_equivalent, {"achieved": "SP 6", "degreased": True})["outcome"] == "conforms"


def test_a_shallow_profile_is_not_hidden_by_a_missing_one() -> None:
    places = [{"achieved": "SP 11", **DONE, "profile": p} for p in (None, "20 um", "30 um")]

    found = judge({"required": "SP 11"}, *places)

    assert found["outcome"] == "does_not_conform"
    statements = [f["statement"] for f in found["findings"] if f["rule"] == "cleanliness.profile"]
    assert "reading 2" in statements[0]
    assert statements[1].startswith("Reading 1: ")


def test_every_place_must_meet_and_the_failing_are_named() -> None:
    places = [{"achieved": grade} for grade in ("Sa 2½", "Sa 2", "Sa 3", "Sa 1")]

    finding = judge({"required": "Sa 2½"}, *places)["findings"][0]

    assert finding["outcome"] == "does_not_conform"
    assert finding["observed"] == "Sa 2½, Sa 2, Sa 3, Sa 1"
    assert finding["limit"] == "Sa 2½ or cleaner"
    assert finding["statement"] == (
        "Reading 2: Sa 2 is below the required Sa 2½; reading 4: Sa 1 is below the required Sa 2½."
    )


def test_a_grade_that_is_not_stated_cannot_be_judged() -> None:
    assert findings({"required": "Sa 2"}, {"achieved": "Sa 2"}, {}) == {
        "cleanliness.grade": "cannot_be_judged"
    }


def test_the_plan_may_ask_for_a_number_of_places() -> None:
    criteria = {"required": "Sa 2", "locations_min": "2"}

    assert judge(criteria, {"achieved": "Sa 2"})["outcome"] == "incomplete"
    assert judge(criteria, {"achieved": "Sa 2"}, {"achieved": "Sa 2"})["outcome"] == "conforms"


def test_a_plan_that_asks_nothing_judges_nothing() -> None:
    assert judge({}, {"achieved": "Sa 3"})["outcome"] == "cannot_be_judged"


def test_the_source_of_the_grade_is_carried() -> None:
    case = {
        "characteristic": "cleanliness",
        "criteria": {"required": "Sa 2½"},
        "sources": {"required": "product data sheet"},
        "readings": [{"achieved": "Sa 3"}],
    }

    assert judge_case(case)["findings"][0]["source"] == "product data sheet"


@pytest.mark.parametrize(
    ("criteria", "place", "path"),
    [
        ({"required": "Sa 4"}, {}, r"criteria\.required"),
        ({"required": ["Sa 2"]}, {}, r"criteria\.required"),
        ({"flash_rust_max": "X"}, {}, r"criteria\.flash_rust_max"),
        ({"locations_min": "0"}, {}, r"criteria\.locations_min"),
        ({}, {"achieved": "nearly white"}, r"readings\[0\]\.achieved"),
        ({}, {"rust_grade": "E"}, r"readings\[0\]\.rust_grade"),
        ({}, {"profile": "50"}, r"readings\[0\]\.profile"),
        ({}, {"degreased": "yes"}, r"readings\[0\]\.degreased"),
        ({}, {"colour": "grey"}, r"readings\[0\]\.colour"),
    ],
)
def test_nonsense_is_refused_by_name(
    criteria: dict[str, Any], place: dict[str, Any], path: str
) -> None:
    with pytest.raises(InvalidValue, match=f"^{path}"):
        judge(criteria, place)


@given(st.sampled_from(GRADES), st.sampled_from(GRADES), st.sampled_from(GRADES))
def test_another_place_never_improves_the_outcome(required: str, achieved: str, other: str) -> None:
    place, another = {"achieved": achieved, **DONE}, {"achieved": other, **DONE}
    criteria = {"required": required}

    if judge(criteria, place)["outcome"] != "conforms":
        assert judge(criteria, place, another)["outcome"] != "conforms"
        assert judge(criteria, another, place)["outcome"] != "conforms"
