"""Soluble salts: how many tests, which are void, what is missing, and what holds for any."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.rules import Outcome

PLAN = {"max": "50 mg/m2", "basis": "mixed", "volume": "10 ml", "patch_area": "1250 mm2"}
CLEAN = {"blank": "2 uS/cm", "conductivity": "4 uS/cm"}
DIRTY = {"blank": "2 uS/cm", "conductivity": "20 uS/cm"}
WORST_FIRST = list(Outcome)
few = settings(max_examples=60)


def judge(criteria: dict[str, Any], *tests: dict[str, Any]) -> dict[str, Any]:
    return judge_case({"characteristic": "salts", "criteria": criteria, "readings": list(tests)})


def finding(verdict: dict[str, Any], rule: str) -> dict[str, str]:
    (found,) = (f for f in verdict["findings"] if f["rule"] == rule)
    return found


@pytest.mark.parametrize(
    ("taken", "outcome"), [(2, "incomplete"), (3, "conforms"), (4, "conforms")]
)
def test_fewer_tests_than_the_area_asks_for_are_incomplete(taken: int, outcome: str) -> None:
    verdict = judge(PLAN | {"area": "20 m2"}, *[CLEAN] * taken)

    assert verdict["outcome"] == outcome
    assert "UFGS" in finding(verdict, "salts.density.readings")["source"]


@pytest.mark.parametrize(("stated", "asked"), [(2, "at least 3"), (5, "at least 5")])
def test_the_greater_of_the_plan_and_the_area_counts(stated: int, asked: str) -> None:
    verdict = judge(PLAN | {"area": "20 m2", "readings_min": stated}, CLEAN)

    assert finding(verdict, "salts.density.readings")["limit"] == asked


def test_a_number_that_nothing_gives_is_one_and_told() -> None:
    flag = "salts.readings: the plan states no area, so no number is derived"

    assert judge(PLAN, CLEAN)["outcome"] == "conforms"
    assert flag in judge(PLAN, CLEAN)["flags"]
    assert flag not in judge(PLAN | {"readings_min": 1}, CLEAN)["flags"]
    assert flag not in judge(PLAN | {"area": "1 m2"}, CLEAN)["flags"]


VALID = PLAN | {"blank_max": "5 uS/cm", "contact_min": "10 min", "pump_cycles_min": 4}
TAKEN = CLEAN | {"contact": "10 min", "pump_cycles": 4}


@pytest.mark.parametrize(
    "boundary",
    [
        {},
        {"blank": "5 uS/cm", "conductivity": "6 uS/cm"},
        {"contact": "600 s"},
        {"contact": "0.5 hour"},
        {"pump_cycles": 9},
        {"solution_lost": False},
    ],
)
def test_a_test_on_the_boundary_of_its_validity_counts(boundary: dict[str, Any]) -> None:
    assert judge(VALID, TAKEN | boundary)["outcome"] == "conforms"


VOID = [
    ({"solution_lost": True}, "water was lost"),
    ({"blank": "5.1 uS/cm", "conductivity": "6 uS/cm"}, "5.1 µS/cm, is not at most 5 µS/cm"),
    ({"contact": "9.9 min"}, "9.9 min, is not at least 10 min"),
    ({"pump_cycles": 3}, "3 of 4 times"),
]


@pytest.mark.parametrize(("wrong", "reason"), VOID)
def test_a_void_test_counts_neither_for_nor_against(wrong: dict[str, Any], reason: str) -> None:
    """ISO 8502-6, instructions of an extraction kit: void where water is lost."""
    void = TAKEN | wrong

    alone, again = judge(VALID, void), judge(VALID, void, TAKEN)

    assert alone["outcome"] == "incomplete"
    assert again["outcome"] == "conforms"
    for verdict in (alone, again):
        said = finding(verdict, "salts.density.readings")["statement"]
        assert f"Void: reading 1, {'the ' if 'µS' in reason or 'min' in reason else ''}" in said
        assert reason in said
        assert any(reason in flag for flag in verdict["flags"])
    assert alone["computed"].get("mean") is None
    assert len(alone["computed"]["density"]) == 1


@pytest.mark.parametrize("missing", ["blank", "contact", "pump_cycles"])
def test_what_the_plan_asks_of_a_test_must_be_recorded(missing: str) -> None:
    verdict = judge(VALID, {name: value for name, value in TAKEN.items() if name != missing})

    assert verdict["outcome"] == "cannot_be_judged"
    assert "not recorded" in finding(verdict, "salts.data")["statement"]


@pytest.mark.parametrize(
    ("test", "said"),
    [
        ({"location": "weld 3"}, "neither conductivity nor chloride"),
        ({"conductivity": "4 uS/cm"}, "conductivity of the blank is not recorded"),
        (
            {"blank": "4 uS/cm", "conductivity": "3.9 uS/cm"},
            "3.9 µS/cm, is below that of the blank",
        ),
    ],
)
def test_a_test_that_gives_no_result_cannot_be_judged(test: dict[str, Any], said: str) -> None:
    verdict = judge(PLAN, test)

    assert verdict["outcome"] == "cannot_be_judged"
    assert said in finding(verdict, "salts.data")["statement"]
    assert verdict["computed"]["density"] == [None]


@pytest.mark.parametrize("missing", ["volume", "patch_area"])
def test_without_volume_or_patch_there_is_no_density(missing: str) -> None:
    criteria = {name: value for name, value in PLAN.items() if name != missing}

    assert judge(criteria, CLEAN)["outcome"] == "cannot_be_judged"
    assert judge(criteria, CLEAN | {missing: PLAN[missing]})["outcome"] == "conforms"


def test_no_rise_at_all_conforms() -> None:
    same = {"blank": "2 uS/cm", "conductivity": "2 uS/cm"}

    assert judge(PLAN, same)["computed"]["density"] == ["0 mg/m2"]
    assert judge(PLAN | {"max": "0 mg/m2"}, same)["outcome"] == "conforms"


@pytest.mark.parametrize(
    ("at_welds", "outcome"), [(2, "incomplete"), (3, "conforms"), (4, "conforms")]
)
def test_a_share_of_the_tests_lies_at_welds(at_welds: int, outcome: str) -> None:
    """UFGS, new tanks: 30 % of the tests, read second-hand."""
    tests = [CLEAN | {"at_weld": i < at_welds} for i in range(10)]

    verdict = judge(PLAN | {"weld_share_min": "30 %"}, *tests)

    assert verdict["outcome"] == outcome
    assert finding(verdict, "salts.welds")["observed"] == f"{at_welds}0 %"


@pytest.mark.parametrize("wrong", [{"solution_lost": True}, {"blank": None}])
def test_a_test_that_is_not_valid_counts_nowhere(wrong: dict[str, Any]) -> None:
    """Void or lacking a figure alike: not in the number, the share at welds, nor the mean."""
    criteria = PLAN | {"weld_share_min": "50 %", "statistic": "mean"}
    sound = [CLEAN | {"at_weld": True}, CLEAN | {"at_weld": False}]

    verdict = judge(criteria, *sound, DIRTY | {"at_weld": False} | wrong)

    assert finding(verdict, "salts.welds")["observed"] == "50 %"
    assert finding(verdict, "salts.density.readings")["observed"] == "2"
    assert verdict["computed"]["mean"] == "8 mg/m2"


def test_a_test_of_unknown_validity_counts_nowhere() -> None:
    criteria = VALID | {"weld_share_min": "50 %"}
    untimed = {name: value for name, value in TAKEN.items() if name != "contact"}

    verdict = judge(criteria, TAKEN | {"at_weld": True}, untimed | {"at_weld": False})

    assert verdict["outcome"] == "cannot_be_judged"
    assert finding(verdict, "salts.welds")["observed"] == "100 %"
    assert finding(verdict, "salts.density.readings")["observed"] == "1"


def test_a_plan_without_any_limit_cannot_be_judged() -> None:
    assert judge({}, CLEAN)["outcome"] == "cannot_be_judged"
    assert judge(PLAN)["outcome"] == "incomplete"


rises = st.lists(st.decimals(0, 30, places=1), min_size=1, max_size=6)
plans = st.sampled_from([PLAN, PLAN | {"statistic": "mean"}, PLAN | {"area": "150 m2"}])


def taken(criteria: dict[str, Any], values: list[Decimal]) -> dict[str, Any]:
    return judge(
        criteria, *({"blank": "1 uS/cm", "conductivity": f"{v + 1} uS/cm"} for v in values)
    )


def rank(verdict: dict[str, Any]) -> int:
    """Larger is better."""
    return WORST_FIRST.index(verdict["outcome"])


@few
@given(plans, rises, st.data())
def test_more_salts_never_improve_the_verdict(
    criteria: dict[str, Any], values: list[Decimal], data: st.DataObject
) -> None:
    index = data.draw(st.integers(0, len(values) - 1))
    worse = [*values]
    worse[index] += data.draw(st.decimals(0, 30, places=1))

    assert rank(taken(criteria, worse)) <= rank(taken(criteria, values))


@few
@given(plans, rises, st.integers(0, 50))
def test_a_stricter_limit_never_improves_the_verdict(
    criteria: dict[str, Any], values: list[Decimal], limit: int
) -> None:
    stricter = criteria | {"max": f"{limit} mg/m2"}

    assert rank(taken(stricter, values)) <= rank(taken(criteria, values))


@few
@given(plans, rises, st.data())
def test_the_order_of_tests_does_not_matter(
    criteria: dict[str, Any], values: list[Decimal], data: st.DataObject
) -> None:
    first, second = taken(criteria, values), taken(criteria, data.draw(st.permutations(values)))

    assert first["outcome"] == second["outcome"]
    assert first["computed"]["mean"] == second["computed"]["mean"]


@few
@given(rises, st.decimals(0, 80, places=1))
def test_the_unit_of_a_limit_does_not_change_the_outcome(
    values: list[Decimal], limit: Decimal
) -> None:
    milligrams = taken(PLAN | {"max": f"{limit} mg/m2"}, values)
    micrograms = taken(PLAN | {"max": f"{limit / 10} ug/cm2"}, values)

    assert milligrams["outcome"] == micrograms["outcome"]


@few
@given(rises, st.integers(1, 5))
def test_fewer_tests_than_required_never_conform(values: list[Decimal], more: int) -> None:
    asked = PLAN | {"readings_min": len(values) + more}

    assert taken(asked, values)["outcome"] != "conforms"


@few
@given(rises, st.sampled_from([wrong for wrong, _ in VOID]))
def test_a_void_test_never_lets_more_pass(values: list[Decimal], wrong: dict[str, Any]) -> None:
    tests = [TAKEN | {"blank": "1 uS/cm", "conductivity": f"{value + 1} uS/cm"} for value in values]

    assert rank(judge(VALID, *tests, TAKEN | wrong)) <= rank(judge(VALID, *tests))


def test_a_limit_on_the_rise_needs_the_blank_too() -> None:
    alone = {"conductivity": "4 uS/cm"}

    assert judge({"conductivity_max": "30 uS/cm"}, alone)["outcome"] == "cannot_be_judged"
    assert judge({"chloride_max": "3 ug/cm2"}, alone)["outcome"] == "incomplete"


def test_findings_carry_the_label_and_the_numbers_of_their_own_quantity() -> None:
    criteria = PLAN | {"conductivity_max": "30 uS/cm", "chloride_max": "3 ug/cm2"}
    tests = [{"location": "pit"}, CLEAN, CLEAN | {"chloride": "1 ug/cm2"}]

    statements = [f["statement"] for f in judge(criteria, *tests)["findings"]]

    assert statements == [
        "Reading 1: neither conductivity nor chloride is recorded.",
        "2 valid tests, at least 1 asked for.",
        "Soluble salts as mixed salts, reading 2, highest of 2, 8.0 mg/m²: at most 50 mg/m² is "
        "met.",
        "2 valid tests, at least 1 asked for.",
        "Rise in conductivity, reading 2, highest of 2, 2.0 µS/cm: at most 30 µS/cm is met.",
        "1 valid test, at least 1 asked for.",
        "Chloride, reading 3, 1.0 µg/cm²: at most 3 µg/cm² is met.",
    ]
