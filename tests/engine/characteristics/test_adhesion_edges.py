"""Pull-off tests, many kinds in one verdict: each finding whole, with its names and its source."""

from typing import Any

import pytest

from qc.engine.case import judge_case

COHESIVE = [{"nature": "cohesive", "layer": "B"}]
GLUE = [{"nature": "glue", "layer": "Y"}]
SOURCES = {"min": "clause 4", "readings_min": "clause 5", "adhesive_share_max": "clause 6"}
PLAN = {"min": "5 MPa", "readings_min": 5, "adhesive_share_max": "30 %", "dolly_diameter": "20 mm"}


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    return judge_case(
        {
            "characteristic": "adhesion",
            "criteria": criteria,
            "sources": SOURCES,
            "readings": list(readings),
        }
    )


def parts(**shares: str | None) -> list[dict[str, str]]:
    return [
        {"nature": nature} | ({"share": share} if share else {}) for nature, share in shares.items()
    ]


MANY = (
    {"stress": "6 MPa", "fracture": parts(cohesive="60 %", adhesive="40 %"), "location": "north"},
    {"stress": "4 MPa", "fracture": GLUE, "location": "south"},
    {"stress": "7 MPa", "fracture": GLUE},
    {"stress": "3 MPa", "fractured": False},
    {"stress": "5.5 MPa", "fractured": False},
    {"force": "1571 N"},
    {"stress": "4.5 MPa", "fracture": COHESIVE},
    {"stress": "4 MPa", "force": "1571 N", "location": "west"},
    {"location": "east"},
    {"stress": "6 MPa", "fracture": parts(cohesive="60 %", adhesive="30 %")},
    {"stress": "6 MPa", "fracture": parts(cohesive="60 %", adhesive=None)},
    {"stress": "6 MPa", "fractured": False, "fracture": COHESIVE},
)


def test_each_kind_of_test_has_its_finding_with_rule_limit_and_source() -> None:
    findings = judge(PLAN, *MANY)["findings"]

    assert [
        (f["rule"], f["outcome"], f["observed"], f["limit"], f["source"]) for f in findings
    ] == [
        ("adhesion.readings", "conforms", "5", "at least 5", "clause 5"),
        ("adhesion.data", "cannot_be_judged", "", "", ""),
        ("adhesion.min", "does_not_conform", "4.50 MPa", "at least 5 MPa", "clause 4"),
        ("adhesion.adhesive_share", "cannot_be_judged", "", "", "clause 6"),
    ]


def test_each_test_that_contradicts_itself_is_named_with_its_reason() -> None:
    (data,) = [f for f in judge(PLAN, *MANY)["findings"] if f["rule"] == "adhesion.data"]

    assert data["statement"].split("; test ") == [
        "Test 8 (west): both force and strength are given; give one",
        "9 (east): neither force nor strength is given",
        "10: the shares of the fracture make 90 % and not 100 %",
        "11: the fracture is of several kinds and not every share is given",
        "12: said not to have been pulled off, yet a fracture is described.",
    ]


def test_what_is_computed_of_many_tests() -> None:
    """Calculated: 4 x 1571 N / (pi x (20 mm)^2) = 5.000648 MPa; mean of 6, 7, 5.5, that, 4.5."""
    assert judge(PLAN, *MANY)["computed"] == {
        "stress": ["6 MPa", "4 MPa", "7 MPa", "3 MPa", "5.5 MPa", "5.000648 MPa", "4.5 MPa"]
        + [None] * 5,
        "valid": 5,
        "lowest": "4.5 MPa",
        "mean": "5.60013 MPa",
    }


def test_flags_name_the_tests_and_what_they_say() -> None:
    flags = judge(PLAN, *MANY)["flags"]

    assert [": ".join(flag.split(": ")[:2]) for flag in flags[:4]] == [
        "adhesion.invalid: test 2 (south)",
        "adhesion.invalid: test 4",
        "adhesion.at_least: test 3",
        "adhesion.at_least: test 5",
    ]
    assert "the glue gave way first" in flags[2]
    assert "not pulled to fracture (ASTM D4541-22: protocol 1" in flags[3]
    assert "the nature of fracture of test 6 is not described" in flags[4]
    assert len(flags) == 5


def test_the_adhesive_share_is_judged_test_by_test_and_let_off_loads_have_none() -> None:
    found = judge(
        PLAN | {"readings_min": 1},
        {"stress": "6 MPa", "fracture": COHESIVE},
        {"stress": "6 MPa", "fractured": False},
        {"stress": "6 MPa", "fracture": parts(adhesive="31 %", cohesive="69 %")},
        {"stress": "6 MPa", "fracture": parts(adhesive="30 %", cohesive="70 %")},
    )["findings"][-1]

    assert (found["rule"], found["outcome"]) == ("adhesion.adhesive_share", "does_not_conform")
    assert (found["observed"], found["limit"]) == ("31 %", "at most 30 %")
    assert "test 3, highest of 3," in found["statement"]
    assert "1 of 3 tests fails: test 3." in found["statement"]


def test_two_parts_of_the_same_nature_add_up() -> None:
    fracture = [
        {"nature": "adhesive", "share": "20 %", "layer": "A/B"},
        {"nature": "adhesive", "share": "20 %", "layer": "B/C"},
        {"nature": "cohesive", "share": "60 %"},
    ]

    found = judge(PLAN, {"stress": "6 MPa", "fracture": fracture})["findings"][-1]

    assert (found["outcome"], found["observed"]) == ("does_not_conform", "40 %")


def test_strengths_are_computed_in_the_unit_of_the_limit() -> None:
    """Calculated: 4 MPa / 6.894757 kPa = 580.150951 psi; the mean of 5 and 4 MPa is 652.66982."""
    mostly = parts(glue="49 %", cohesive="51 %")
    verdict = judge(
        {"min": "725 psi", "statistic": "mean"},
        {"stress": "5 MPa", "fracture": COHESIVE},
        {"stress": "4 MPa", "fracture": mostly},
    )

    assert verdict["computed"]["lowest"] == "580.150951 psi"
    assert verdict["computed"]["mean"] == "652.66982 psi"
    found = verdict["findings"][1]
    assert (found["outcome"], found["observed"]) == ("does_not_conform", "652.67 psi")
    assert found["statement"].startswith("Pull-off strength, mean of 2, 652.67 psi:")


def test_a_mean_that_misses_with_strengths_higher_than_shown_names_them() -> None:
    plan = {"min": "5 MPa", "statistic": "mean"}
    glue, sound = {"stress": "5.1 MPa", "fracture": GLUE}, {"stress": "4 MPa", "fracture": COHESIVE}

    found = judge(plan, glue, sound)["findings"][1]

    assert (found["rule"], found["outcome"], found["source"]) == (
        "adhesion.min",
        "cannot_be_judged",
        "clause 4",
    )
    assert found["statement"].startswith("Pull-off strength, mean of 2, 4.55 MPa: misses")
    assert "The strength of test 1 is higher than shown" in found["statement"]


def test_where_no_test_counts_the_reason_has_its_source_and_nothing_is_computed() -> None:
    verdict = judge({"min": "5 MPa"}, {"stress": "4 MPa", "fracture": GLUE})

    readings, validity = verdict["findings"]
    assert (readings["outcome"], readings["observed"]) == ("incomplete", "0")
    assert readings["source"] == "the plan states no number"
    assert validity["rule"] == "adhesion.validity"
    assert validity["source"].startswith("ISO 4624 and ASTM D4541, treatment of glue failures")
    assert verdict["computed"] == {"stress": ["4 MPa"], "valid": 0, "lowest": None, "mean": None}


def test_a_plan_without_a_limit_computes_in_megapascal_and_judges_nothing() -> None:
    verdict = judge({}, {"stress": "580.150951 psi", "fracture": COHESIVE})

    assert [(f["rule"], f["outcome"]) for f in verdict["findings"]] == [
        ("adhesion.readings", "conforms"),
        ("adhesion.min", "cannot_be_judged"),
    ]
    assert verdict["computed"]["lowest"] == "4 MPa"


@pytest.mark.parametrize(
    ("protocol", "flagged"),
    [(None, ["test 1", "test 2"]), ("1", ["test 1", "test 2"]), ("2", ["test 2"])],
)
def test_a_load_let_off_is_flagged_unless_the_protocol_is_to_do_so(
    protocol: str | None, flagged: list[str]
) -> None:
    """ASTM D4541-22: protocol 1 where none is designated (second-hand)."""
    plan = {"min": "5 MPa"} | ({"protocol": protocol} if protocol else {})

    verdict = judge(
        plan,
        {"stress": "5 MPa", "fractured": False},
        {"stress": "6 MPa", "fracture": GLUE},
    )

    assert verdict["outcome"] == "conforms"
    assert [flag.split(": ")[1] for flag in verdict["flags"]] == flagged


@pytest.mark.parametrize(
    ("glue", "outcome"), [("79 %", "does_not_conform"), ("80 %", "cannot_be_judged")]
)
def test_the_plan_says_how_much_glue_makes_a_glue_failure(glue: str, outcome: str) -> None:
    rest = f"{100 - int(glue.split()[0])} %"
    reading = {"stress": "4 MPa", "fracture": parts(glue=glue, cohesive=rest)}

    assert judge({"min": "5 MPa", "glue_share": "80 %"}, reading)["outcome"] == outcome


def test_no_share_of_glue_is_no_glue_failure_however_small_a_share_is_asked() -> None:
    reading = {"stress": "4 MPa", "fracture": COHESIVE}

    verdict = judge({"min": "5 MPa", "glue_share": "0 %"}, reading)

    assert verdict["outcome"] == "does_not_conform"


def test_without_a_strength_to_reach_a_glue_failure_says_nothing() -> None:
    verdict = judge({"adhesive_share_max": "30 %"}, {"stress": "9 MPa", "fracture": GLUE})

    assert [(f["rule"], f["outcome"]) for f in verdict["findings"]] == [
        ("adhesion.readings", "incomplete"),
        ("adhesion.validity", "cannot_be_judged"),
    ]
