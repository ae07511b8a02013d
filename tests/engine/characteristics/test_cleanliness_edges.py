"""Cleanliness: each finding whole, with its rule, what was seen, its limit and its source."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from tests.engine.characteristics.whole_verdicts import rows

SOURCES = {
    "required": "clause 1",
    "flash_rust_max": "clause 2",
    "locations_min": "clause 3",
    "level": "clause 4",
}
SP11 = {"required": "SP 11", "flash_rust_max": "L", "locations_min": 4, "level": 2}
PLACES = (
    {"achieved": "SP 11", "profile": "30 um", "degreased": True, "flash_rust": "L", "level": 2},
    {"achieved": "SP 11", "profile": "20 um", "degreased": True, "flash_rust": "M", "level": 1},
    {"achieved": "SP 3", "degreased": False, "flash_rust": "none"},
    {"achieved": "SP 11"},
)


def judge(criteria: dict[str, Any], *places: dict[str, Any]) -> dict[str, Any]:
    return judge_case(
        {
            "characteristic": "cleanliness",
            "criteria": criteria,
            "sources": SOURCES,
            "readings": list(places),
        }
    )


def said(verdict: dict[str, Any], rule: str) -> list[str]:
    return [f["statement"] for f in verdict["findings"] if f["rule"] == f"cleanliness.{rule}"]


def test_each_rule_of_a_grade_with_profile_and_level_has_its_finding() -> None:
    """SSPC-SP 11 includes a profile of 25 um (SSPC-SP 11 and SP 15, 2012, scope)."""
    verdict = judge(SP11, *PLACES)
    scope = "SSPC-SP 11 and SSPC-SP 15 (2012), scope"
    first = "SSPC-SP 1 is the first step of every other SSPC preparation (MIL-HDBK-1110)"
    levels = "SSPC-SP 11 (2020), three levels, to be confirmed against the licensed text"
    fails, unjudged = "does_not_conform", "cannot_be_judged"

    assert rows(verdict) == [
        ("cleanliness.grade", fails, "SP 11, SP 3", "SP 11 or cleaner", "clause 1"),
        ("cleanliness.degreased", fails, "", "oil and grease removed first", first),
        ("cleanliness.level", unjudged, "2, 1, not stated", "level 2", f"clause 4; {levels}"),
        ("cleanliness.profile", fails, "20.0 µm", "at least 25 µm", scope),
        ("cleanliness.profile", "incomplete", "", "at least 25 µm", scope),
        ("cleanliness.flash_rust", fails, "L, M, none, not stated", "L or less", "clause 2"),
        ("cleanliness.locations", "conforms", "4", "at least 4", "clause 3"),
    ]


def test_each_finding_names_the_reading_it_is_about() -> None:
    verdict = judge(SP11, *PLACES)

    assert said(verdict, "grade") == ["Reading 3: SP 3 is below the required SP 11."]
    assert said(verdict, "degreased") == ["Reading 3: oil and grease were not removed first."]
    assert said(verdict, "level")[0].startswith("Reading 2: level 1 of SP 11 is not the level 2")
    measured, missing = said(verdict, "profile")
    assert measured.startswith("Profile that belongs to SP 11, reading 2, lowest of 2, 20.0 µm:")
    assert missing == "Reading 4: profile that belongs to SP 11 is missing."
    assert said(verdict, "flash_rust") == ["Reading 2: flash rust M is heavier than L."]


@pytest.mark.parametrize(
    ("place", "outcome", "why"),
    [
        ({"achieved": "SP 3", "degreased": True}, "conforms", "were removed first"),
        ({"achieved": "SP 3", "degreased": False}, "does_not_conform", "were not removed first"),
        ({"achieved": "SP 3"}, "incomplete", "No record that oil and grease were removed"),
    ],
)
def test_solvent_cleaning_goes_before_every_sspc_grade(
    place: dict[str, Any], outcome: str, why: str
) -> None:
    (found,) = [
        f
        for f in judge({"required": "SP 3"}, place)["findings"]
        if f["rule"] == "cleanliness.degreased"
    ]

    assert found["outcome"] == outcome
    assert why in found["statement"]


def test_outside_sspc_an_answer_on_grease_is_judged_by_common_practice() -> None:
    required = {"required": "Sa 2½"}

    silent = judge(required, {"achieved": "Sa 3"})
    denied = judge(required, {"achieved": "Sa 3"}, {"achieved": "Sa 3", "degreased": False})

    assert [row[0] for row in rows(silent)] == ["cleanliness.grade"]
    assert rows(denied)[1] == (
        "cleanliness.degreased",
        "does_not_conform",
        "",
        "oil and grease removed first",
        "oil and grease come off before any other preparation: common practice",
    )
    assert said(denied, "degreased") == ["Reading 2: oil and grease were not removed first."]


def test_where_one_of_two_places_is_of_an_sspc_grade_the_other_is_not_asked() -> None:
    places = ({"achieved": "Sa 3"}, {"achieved": "SP 5"})

    verdict = judge({"required": "Sa 2½", "equivalents": [["Sa 2½", "SP 10"]]}, *places)

    assert rows(verdict)[1][:2] == ("cleanliness.degreased", "incomplete")
    assert rows(verdict)[1][4].startswith("SSPC-SP 1 is the first step")
    assert said(verdict, "degreased")[0].startswith("Reading 2: no record")


def test_solvent_cleaning_itself_and_imperfections_ask_for_no_degreasing_first() -> None:
    assert rows(judge({"required": "P2"}, {"achieved": "P3", "degreased": False})) == [
        ("cleanliness.grade", "conforms", "P3", "P2 or cleaner", "clause 1")
    ]
    assert [row[0] for row in rows(judge({"required": "SP 1"}, {"achieved": "SP 1"}))] == [
        "cleanliness.grade"
    ]


def test_a_grade_met_by_an_equivalent_of_the_plan_says_by_which() -> None:
    plan = {"required": "Sa 2½", "equivalents": [["Sa 2½", "SP 10"]]}

    verdict = judge(plan, {"achieved": "SP 5", "degreased": True})

    assert said(verdict, "grade") == [
        "SP 5 meets the required Sa 2½, by the plan's equivalent SP 10."
    ]


def test_an_equivalent_that_includes_a_profile_asks_for_it() -> None:
    plan = {"required": "St 3", "equivalents": [["St 3", "SP 15"]]}
    place = {"achieved": "SP 15", "degreased": True, "profile": "24.9 um"}

    verdict = judge(plan, place, {"achieved": "St 3", "degreased": True})

    assert [row[:4] for row in rows(verdict) if row[0] == "cleanliness.profile"] == [
        ("cleanliness.profile", "does_not_conform", "24.9 µm", "at least 25 µm")
    ]
    assert said(verdict, "profile")[0].startswith("Profile that belongs to SP 15, reading 1,")


@pytest.mark.parametrize(
    ("achieved", "rust", "painted", "refused"),
    [
        ("Sa 2", "A", False, True),
        ("Sa 2½", "A", False, False),
        ("Sa 2", "B", False, False),
        ("Sa 3", "B", True, True),
        ("Sa 3", "C", True, False),
        ("St 2", "D", True, False),
        ("Fl", "B", True, True),
        ("P Sa 2", "B", True, False),
        ("Sa 3", None, True, False),
    ],
)
def test_only_a_grade_that_the_photographs_show_is_a_designation(
    achieved: str, rust: str | None, painted: bool, refused: bool
) -> None:
    """ISO 8501-1, table of photographs; C and D for steel painted before (as quoted)."""
    place: dict[str, Any] = {"achieved": achieved, "previously_painted": painted}
    place |= {"rust_grade": rust} if rust else {}

    verdict = judge({"required": achieved}, {"achieved": achieved}, place)

    found = [row for row in rows(verdict) if row[0] == "cleanliness.designation"]
    assert bool(found) is refused
    if refused:
        assert found[0][1:4] == ("cannot_be_judged", "", "")
        own = "ISO 8501-1:2007, as quoted" if painted else "ISO 8501-1, table of photographs"
        assert found[0][4].startswith(own)
        assert said(verdict, "designation")[0].startswith("Reading 2: ")


def test_places_that_are_too_few_are_incomplete_with_the_source_of_the_number() -> None:
    verdict = judge({"locations_min": 2}, {"achieved": "Sa 3"})

    assert rows(verdict) == [("cleanliness.locations", "incomplete", "1", "at least 2", "clause 3")]


@pytest.mark.parametrize(
    ("achieved", "limit", "flagged"),
    [
        ("Wa 2½", None, True),
        ("WJ-2", None, True),
        ("Sa 3", None, False),
        ("Wa 2½", "M", False),
    ],
)
def test_a_jetted_surface_without_a_limit_on_flash_rust_is_flagged(
    achieved: str, limit: str | None, flagged: bool
) -> None:
    plan = {"required": achieved} | ({"flash_rust_max": limit} if limit else {})

    flags = judge(plan, {"achieved": achieved, "degreased": True, "flash_rust": "L"})["flags"]

    assert flags == (["flash_rust_limit_not_set"] if flagged else [])


def test_equivalents_that_let_a_lower_grade_pass_are_refused_with_both_grades() -> None:
    pairs = [["Sa 2½", "SP 10"], ["SP 10", "Sa 2"]]

    with pytest.raises(InvalidValue) as refused:
        judge({"required": "Sa 2½", "equivalents": pairs}, {"achieved": "Sa 3"})

    assert str(refused.value) == (
        "criteria.equivalents: they would let Sa 2 pass for Sa 2½, which is cleaner"
    )


def test_a_level_belongs_to_its_grade_only() -> None:
    with pytest.raises(
        InvalidValue, match=r"^criteria\.level: belongs to the required grade SP 11"
    ):
        judge({"required": "SP 10", "level": 1}, {"achieved": "SP 10"})


def test_a_grade_met_in_its_own_chain_names_no_equivalent() -> None:
    verdict = judge({"required": "Sa 2½"}, {"achieved": "Sa 3"})

    assert said(verdict, "grade") == ["Sa 3 meets the required Sa 2½."]


def test_each_designation_that_is_none_has_its_own_reason_and_source() -> None:
    """ISO 8501-1, table of photographs; C and D for steel painted before (as quoted)."""
    bare = {"achieved": "Sa 2", "rust_grade": "A"}
    painted = {"achieved": "Sa 2", "rust_grade": "B", "previously_painted": True}
    both = bare | {"previously_painted": True}

    verdict = judge({"required": "Sa 2"}, bare, painted, bare, both)

    look = "This is not a valid designation; look again."
    compared = "steel painted before is compared with rust grade C or D, not"
    assert said(verdict, "designation") == [
        f"Reading 1, 3, 4: there is no reference photograph of Sa 2 on rust grade A. {look}",
        f"Reading 2: {compared} B. {look}",
        f"Reading 4: {compared} A. {look}",
    ]
    sources = [row[4] for row in rows(verdict) if row[0] == "cleanliness.designation"]
    assert ["as quoted" in source for source in sources] == [False, True, True]
