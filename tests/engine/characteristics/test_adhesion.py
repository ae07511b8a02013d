"""Pull-off tests: strength by force and dolly, nature of fracture, tests that are none."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

Verdict = dict[str, Any]
CONFORMS, FAILS = "conforms", "does_not_conform"
INCOMPLETE, UNJUDGED = "incomplete", "cannot_be_judged"
COHESIVE = {"nature": "cohesive", "layer": "B"}
GLUE = {"nature": "glue", "layer": "Y"}


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> Verdict:
    case = {"characteristic": "adhesion", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


def pull(stress: object, *fracture: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"stress": f"{stress} MPa", "fracture": list(fracture or (COHESIVE,)), **more}


def shares(**by_nature: int) -> list[dict[str, str]]:
    return [{"nature": nature, "share": f"{share} %"} for nature, share in by_nature.items()]


def outcomes(verdict: Verdict) -> dict[str, str]:
    return {finding["rule"]: finding["outcome"] for finding in verdict["findings"]}


def flags(verdict: Verdict) -> list[str]:
    return [flag.split(":")[0] for flag in verdict["flags"]]


@pytest.mark.parametrize(
    ("force", "diameter", "stress"),
    [
        ("1571 N", "20 mm", "5.000648 MPa"),
        ("2200 N", "20 mm", "7.002817 MPa"),
        ("10000 N", "50 mm", "5.092958 MPa"),
        ("10 kN", "5 cm", "5.092958 MPa"),
        ("0 N", "20 mm", "0 MPa"),
    ],
)
def test_the_strength_is_four_f_over_pi_d_squared(force: str, diameter: str, stress: str) -> None:
    """Calculated: 1571 N on 20 mm 5.001, 2200 N on 20 mm 7.003, 10 000 N on 50 mm 5.093 MPa."""
    verdict = judge({"min": "1 MPa"}, {"force": force, "dolly_diameter": diameter})

    assert verdict["computed"]["stress"] == [stress]


def test_pounds_and_inches_give_the_same_strength_as_newtons_and_millimetres() -> None:
    """Calculated: 355 lbf on 0.787 in, 4 * 355 / (pi 0.787^2) = 729.8 psi = 5.0317 MPa."""
    verdict = judge({"min": "729 psi"}, {"force": "355 lbf", "dolly_diameter": "0.787 in"})

    assert verdict["computed"]["stress"][0].startswith("5.03")
    assert verdict["findings"][1]["observed"] == "729.78 psi"


def test_the_dolly_of_the_plan_serves_a_test_that_states_none() -> None:
    plan = {"min": "5 MPa", "dolly_diameter": "20 mm"}

    own = {"force": "1571 N", "dolly_diameter": "50 mm"}
    verdict = judge(plan, {"force": "1571 N"}, own)

    assert verdict["computed"]["stress"] == ["5.000648 MPa", "0.800104 MPa"]
    assert verdict["outcome"] == FAILS


@pytest.mark.parametrize(
    ("stress", "outcome"), [("5", CONFORMS), ("5.0000001", CONFORMS), ("4.9999999", FAILS)]
)
def test_a_strength_on_the_limit_conforms(stress: str, outcome: str) -> None:
    assert judge({"min": "5 MPa"}, pull(stress))["outcome"] == outcome


def test_the_limit_may_stand_in_another_unit_than_the_reading() -> None:
    """Calculated: 725 psi = 4.99870 MPa, 726 psi = 5.00559 MPa."""
    assert judge({"min": "725 psi"}, pull("5"))["outcome"] == CONFORMS
    assert judge({"min": "726 psi"}, pull("5"))["outcome"] == FAILS
    newtons = {"stress": "5 N/mm2", "fracture": [COHESIVE]}
    assert judge({"min": "5 MPa"}, newtons)["outcome"] == CONFORMS


def test_each_test_is_judged_and_the_failing_ones_are_named() -> None:
    weak = pull("4.2", location="elbow")

    verdict = judge({"min": "5 MPa"}, pull("6"), weak, pull("4.8"))

    found = verdict["findings"][1]
    assert found["outcome"] == FAILS
    assert found["observed"] == "4.20 MPa"
    assert "2 of 3 tests fail: test 2 (elbow), test 3." in found["statement"]


def test_the_mean_may_carry_a_weak_test_where_the_plan_says_so() -> None:
    """Mean of 4.2, 5.0 and 5.8, exactly 5."""
    tests = [pull("4.2"), pull("5.0"), pull("5.8")]

    assert judge({"min": "5 MPa"}, *tests)["outcome"] == FAILS
    assert judge({"min": "5 MPa", "statistic": "mean"}, *tests)["outcome"] == CONFORMS
    tests[0] = pull("4.19")
    assert judge({"min": "5 MPa", "statistic": "mean"}, *tests)["outcome"] == FAILS


def test_glue_that_fails_below_the_limit_is_no_test_of_the_coating() -> None:
    verdict = judge({"min": "5 MPa"}, pull("4.9", GLUE))

    assert verdict["outcome"] == UNJUDGED
    assert outcomes(verdict)["adhesion.validity"] == UNJUDGED
    assert verdict["computed"]["valid"] == 0
    assert flags(verdict) == ["adhesion.invalid"]


def test_glue_that_fails_on_or_above_the_limit_is_a_pass() -> None:
    for stress in ("5", "7"):
        verdict = judge({"min": "5 MPa"}, pull(stress, GLUE))
        assert verdict["outcome"] == CONFORMS
        assert flags(verdict) == ["adhesion.at_least"]


def test_an_invalid_test_does_not_count_towards_the_number() -> None:
    plan = {"min": "5 MPa", "readings_min": 3}
    tests = [pull("6"), pull("5.5"), pull("2", GLUE)]

    assert judge(plan, *tests)["outcome"] == INCOMPLETE
    assert judge(plan, *tests, pull("5.2"))["outcome"] == CONFORMS


def test_an_invalid_test_hides_no_failing_one() -> None:
    assert judge({"min": "5 MPa"}, pull("2", GLUE), pull("4"))["outcome"] == FAILS


@pytest.mark.parametrize(
    ("glue", "criteria", "outcome"),
    [
        (49, {}, FAILS),
        (50, {}, UNJUDGED),
        (60, {}, UNJUDGED),
        (60, {"glue_share": "80 %"}, FAILS),
        (80, {"glue_share": "80 %"}, UNJUDGED),
        (0, {"glue_share": "0 %"}, FAILS),
        (1, {"glue_share": "0 %"}, UNJUDGED),
    ],
)
def test_a_test_is_a_glue_failure_from_half_of_the_face(
    glue: int, criteria: dict[str, str], outcome: str
) -> None:
    """Common practice where the plan states no share."""
    test = pull("4", *shares(glue=glue, cohesive=100 - glue))

    assert judge({"min": "5 MPa", **criteria}, test)["outcome"] == outcome


def test_a_weak_test_whose_fracture_was_not_described_is_not_excused() -> None:
    verdict = judge({"min": "5 MPa"}, {"stress": "4 MPa"})

    assert verdict["outcome"] == FAILS
    assert flags(verdict) == ["adhesion.fracture"]


def test_a_mean_missed_while_a_glue_gave_way_above_the_limit_is_open() -> None:
    """Mean of 5.2 (at least) and 3.0: 4.1; the first coating was stronger than shown."""
    plan = {"min": "5 MPa", "statistic": "mean"}

    verdict = judge(plan, pull("5.2", GLUE), pull("3"))

    assert verdict["outcome"] == UNJUDGED
    assert "test 1 is higher than shown" in verdict["findings"][1]["statement"]
    assert judge(plan, pull("7.2", GLUE), pull("3"))["outcome"] == CONFORMS
    assert judge(plan, pull("5.2"), pull("3"))["outcome"] == FAILS


@pytest.mark.parametrize(
    ("stress", "fractured", "outcome"),
    [
        ("5", False, CONFORMS),
        ("5", True, CONFORMS),
        ("4.9", True, FAILS),
        ("4.9", False, UNJUDGED),
    ],
)
def test_protocol_2_asks_that_the_load_was_held(stress: str, fractured: bool, outcome: str) -> None:
    plan = {"min": "5 MPa", "protocol": "2"}

    verdict = judge(plan, {"stress": f"{stress} MPa", "fractured": fractured})

    assert verdict["outcome"] == outcome
    assert "adhesion.at_least" not in flags(verdict)


def test_protocol_1_holds_unless_the_plan_says_otherwise_and_pulls_to_fracture() -> None:
    """ASTM D4541-22: protocol 1 applies where none is designated."""
    verdict = judge({"min": "5 MPa"}, {"stress": "6 MPa", "fractured": False})

    assert verdict["outcome"] == CONFORMS
    assert "not pulled to fracture (ASTM D4541-22" in verdict["flags"][0]


def test_tests_that_are_only_pulled_to_the_limit_have_no_mean() -> None:
    with pytest.raises(InvalidValue, match=r"^criteria\.statistic: tests of protocol 2"):
        judge({"min": "5 MPa", "protocol": "2", "statistic": "mean"}, pull("5"))


@pytest.mark.parametrize(
    ("adhesive", "outcome"), [(0, CONFORMS), (30, CONFORMS), (31, FAILS), (100, FAILS)]
)
def test_the_share_that_came_off_between_layers_is_judged_where_the_plan_limits_it(
    adhesive: int, outcome: str
) -> None:
    plan = {"min": "5 MPa", "adhesive_share_max": "30 %"}
    face = shares(adhesive=adhesive, cohesive=100 - adhesive)

    assert judge(plan, pull("6", *face))["outcome"] == outcome
    assert judge({"min": "5 MPa"}, pull("6", *face))["outcome"] == CONFORMS


def test_shares_of_one_nature_in_several_layers_add_up() -> None:
    face = [
        {"nature": "adhesive", "layer": "A/B", "share": "20 %"},
        {"nature": "adhesive", "layer": "B/C", "share": "20 %"},
        {"nature": "cohesive", "layer": "B", "share": "60 %"},
    ]
    plan = {"adhesive_share_max": "30 %"}

    assert judge(plan, pull("6", *face))["findings"][1]["observed"] == "40 %"


def test_an_undescribed_fracture_cannot_meet_a_limit_on_its_shares() -> None:
    plan = {"min": "5 MPa", "adhesive_share_max": "30 %"}

    assert judge(plan, {"stress": "6 MPa"})["outcome"] == UNJUDGED
    held = {"stress": "6 MPa", "fractured": False}
    assert judge(plan | {"protocol": "2"}, held)["outcome"] == CONFORMS


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        ({}, "neither force nor strength is given"),
        ({"force": "1571 N"}, "the diameter of the dolly is not given"),
        (pull("5", force="1571 N"), "both force and strength are given; give one"),
        (pull("5", *shares(glue=50, cohesive=40)), "make 90 % and not 100 %"),
        (pull("5", *shares(glue=60, cohesive=60)), "make 120 % and not 100 %"),
        (pull("5", {"nature": "cohesive", "share": "90 %"}), "make 90 % and not 100 %"),
        (pull("5", COHESIVE, GLUE), "not every share is given"),
        (pull("5", fractured=False), "not to have been pulled off, yet a fracture is described"),
    ],
)
def test_a_test_with_a_data_error_cannot_be_judged(reading: dict[str, Any], said: str) -> None:
    verdict = judge({"min": "1 MPa"}, pull("6"), reading)

    assert verdict["outcome"] == UNJUDGED
    (found,) = [f for f in verdict["findings"] if f["rule"] == "adhesion.data"]
    assert found["statement"].startswith("Test 2: ")
    assert said in found["statement"]
    assert verdict["computed"]["stress"] == ["6 MPa", None]


def test_a_plan_without_a_limit_judges_nothing() -> None:
    assert judge({}, pull("6"))["outcome"] == UNJUDGED


@pytest.mark.parametrize(
    ("reading", "path"),
    [
        ({"stress": "-1 MPa"}, "readings[0].stress"),
        ({"stress": "5 mm"}, "readings[0].stress"),
        ({"force": "5 kg", "dolly_diameter": "20 mm"}, "readings[0].force"),
        ({"force": "5 N", "dolly_diameter": "0 mm"}, "readings[0].dolly_diameter"),
        ({"stress": "5 MPa", "fracture": [{"layer": "B"}]}, "readings[0].fracture[0].nature"),
        ({"stress": "5 MPa", "fracture": [GLUE | {"share": "101 %"}]}, "readings[0].fracture[0]"),
    ],
)
def test_nonsense_is_refused_by_the_name_of_the_field(reading: dict[str, Any], path: str) -> None:
    with pytest.raises(InvalidValue) as caught:
        judge({"min": "5 MPa"}, reading)

    assert caught.value.path.startswith(path)


@pytest.mark.parametrize(("stress", "outcome"), [("5.49", FAILS), ("5.5", CONFORMS)])
def test_a_guarded_limit_lies_u_above_the_specified_one(stress: str, outcome: str) -> None:
    plan = {"min": "5 MPa", "decision": "guarded", "expanded_uncertainty": "0.5 MPa"}

    assert judge(plan, pull(stress))["outcome"] == outcome


def test_glue_that_fails_inside_the_guard_band_is_no_test_either() -> None:
    plan = {"min": "5 MPa", "decision": "guarded", "expanded_uncertainty": "0.5 MPa"}

    assert judge(plan, pull("5.2", GLUE))["outcome"] == UNJUDGED


ORDER = [CONFORMS, INCOMPLETE, UNJUDGED, FAILS]
stresses = st.decimals("0", "10", places=2)
fractures = st.sampled_from([COHESIVE, GLUE])
plans = st.fixed_dictionaries(
    {"min": st.just("5 MPa"), "statistic": st.sampled_from(["each", "mean"])},
    optional={"readings_min": st.integers(1, 4)},
)


@given(plans, st.lists(st.tuples(stresses, fractures), min_size=1, max_size=4), st.data())
def test_a_weaker_coating_never_improves_the_verdict(
    plan: dict[str, Any], tests: list[tuple[Any, Any]], data: st.DataObject
) -> None:
    at = data.draw(st.integers(0, len(tests) - 1))
    weaker = list(tests)
    weaker[at] = (data.draw(st.decimals("0", tests[at][0], places=2)), tests[at][1])

    before, after = (judge(plan, *(pull(s, f) for s, f in each)) for each in (tests, weaker))

    if before["outcome"] != CONFORMS:
        assert after["outcome"] != CONFORMS
    if before["outcome"] == FAILS:
        assert after["outcome"] == FAILS


@given(
    plans,
    st.lists(st.tuples(stresses, fractures), min_size=1, max_size=4),
    st.randoms(use_true_random=False),
)
def test_the_order_of_tests_does_not_matter(
    plan: dict[str, Any], tests: list[tuple[Any, Any]], chance: Any
) -> None:
    mixed = list(tests)
    chance.shuffle(mixed)

    first, second = (judge(plan, *(pull(s, f) for s, f in each)) for each in (tests, mixed))

    assert first["outcome"] == second["outcome"]
    assert first["computed"]["mean"] == second["computed"]["mean"]
