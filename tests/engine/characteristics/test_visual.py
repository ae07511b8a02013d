"""The checklist: every item answered, none rejected."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

PLAN = {
    "items": [
        {"item": "Cracks", "asked": "none", "source": "common practice"},
        {"item": "Blisters and pits", "asked": "width at most 10 mm, height at most 2.5 mm"},
        {"item": "Taper length"},
    ]
}
CRACKS = {"item": "Cracks", "accepted": True}
BLISTERS = {"item": "Blisters and pits", "accepted": True, "measured": "10.0 mm x 2.5 mm"}
TAPER = {"item": "Taper length", "accepted": True, "remark": "55 mm, upstream end"}


def judge(*answers: dict[str, Any], plan: dict[str, Any] = PLAN) -> dict[str, Any]:
    return judge_case(
        {
            "characteristic": "visual",
            "criteria": plan,
            "sources": {"items": "agreed checklist"},
            "readings": list(answers),
        }
    )


def test_a_list_accepted_throughout_conforms() -> None:
    verdict = judge(CRACKS, BLISTERS, TAPER)

    assert verdict["outcome"] == "conforms"
    assert verdict["computed"] == {"accepted": 3, "rejected": 0, "open": 0}


def test_a_finding_says_what_was_asked_measured_and_remarked_and_from_where() -> None:
    cracks, blisters, taper = judge(CRACKS, BLISTERS, TAPER)["findings"]

    assert cracks["limit"] == "none"
    assert (cracks["source"], blisters["source"]) == ("common practice", "agreed checklist")
    assert (cracks["observed"], blisters["observed"]) == ("accepted", "10.0 mm x 2.5 mm")
    assert taper["statement"] == "Taper length: accepted. 55 mm, upstream end."


def test_an_item_not_answered_is_incomplete() -> None:
    verdict = judge(CRACKS, TAPER)

    assert verdict["outcome"] == "incomplete"
    assert verdict["findings"][1]["statement"] == "Blisters and pits: not answered yet."
    assert verdict["computed"]["open"] == 1


def test_no_answer_at_all_is_incomplete() -> None:
    assert judge()["outcome"] == "incomplete"


def test_one_rejected_item_fails_and_its_remark_says_why() -> None:
    rejected = {"item": "Cracks", "accepted": False, "remark": "30 mm long at 2 o'clock"}

    verdict = judge(rejected, BLISTERS, TAPER)

    assert verdict["outcome"] == "does_not_conform"
    assert "30 mm long at 2 o'clock" in verdict["findings"][0]["statement"]


def test_a_rejection_without_a_remark_is_told() -> None:
    verdict = judge(CRACKS | {"accepted": False}, BLISTERS, TAPER)

    assert verdict["outcome"] == "does_not_conform"
    assert verdict["findings"][-1]["rule"] == "visual.remark"
    assert verdict["findings"][-1]["outcome"] == "incomplete"


@pytest.mark.parametrize("order", [1, -1])
def test_an_item_answered_twice_stays_rejected(order: int) -> None:
    twice = [CRACKS, CRACKS | {"accepted": False, "remark": "at the seam"}][::order]

    verdict = judge(*twice, BLISTERS, TAPER)

    assert verdict["outcome"] == "does_not_conform"
    assert verdict["computed"] == {"accepted": 2, "rejected": 1, "open": 0}


def test_an_item_the_plan_does_not_list_cannot_be_judged() -> None:
    verdict = judge(CRACKS, BLISTERS, TAPER, {"item": "Colour", "accepted": True})

    assert verdict["outcome"] == "cannot_be_judged"
    assert "Colour" in verdict["findings"][-1]["statement"]


def test_items_match_whatever_their_case_and_spacing() -> None:
    assert judge(CRACKS | {"item": " cracks"}, BLISTERS, TAPER)["outcome"] == "conforms"
    assert judge(CRACKS, BLISTERS | {"item": "BLISTERS  and pits"}, TAPER)["outcome"] == "conforms"


def test_a_plan_without_a_list_cannot_be_judged() -> None:
    assert judge(CRACKS, plan={})["outcome"] == "cannot_be_judged"


@pytest.mark.parametrize(
    "answer",
    [
        {"accepted": True},
        {"item": "Cracks"},
        {"item": "Cracks", "accepted": "yes"},
        {"item": "Cracks", "accepted": None},
        {"item": 5, "accepted": True},
    ],
)
def test_an_answer_without_item_or_decision_is_refused(answer: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=r"readings\[0\]"):
        judge(answer)


@pytest.mark.parametrize(
    "items",
    [
        [{"asked": "none"}],
        [{"item": "Cracks"}, {"item": "cracks "}],
        ["Cracks"],
        [{"item": "Taper", "min": "60 mm", "max": "2 in"}],
    ],
)
def test_a_list_with_a_nameless_or_a_double_item_is_refused(items: list[Any]) -> None:
    with pytest.raises(InvalidValue, match="items"):
        judge(CRACKS, plan={"items": items})


DEFECTS = {
    "items": [
        {"item": "Pit, width", "max": "10 mm"},
        {"item": "Pit, height", "max": "2.5 mm"},
        {"item": "Wrinkle", "asked": "20 % of 8 mm", "max": "1.6 mm"},
        {"item": "Taper", "min": "50 mm"},
    ]
}


def measured(width: str, height: str, wrinkle: str, taper: str) -> list[dict[str, Any]]:
    values = zip(DEFECTS["items"], (width, height, wrinkle, taper), strict=True)
    return [{"item": item["item"], "accepted": True, "value": value} for item, value in values]


@pytest.mark.parametrize(
    ("values", "outcome"),
    [
        (("10.0 mm", "2.5 mm", "1.6 mm", "50 mm"), "conforms"),
        (("10.1 mm", "1.0 mm", "1 mm", "60 mm"), "does_not_conform"),
        (("1 mm", "2.6 mm", "1 mm", "60 mm"), "does_not_conform"),
        (("1 mm", "1 mm", "2.4 mm", "60 mm"), "does_not_conform"),
        (("1 mm", "1 mm", "1 mm", "49.9 mm"), "does_not_conform"),
        (("0.3 in", "90 mil", "60 mil", "2 in"), "conforms"),
    ],
)
def test_a_dimension_with_limits_is_judged_though_it_was_accepted(
    values: tuple[str, str, str, str], outcome: str
) -> None:
    """Laminate defects, from memory: pits to 10 mm by 2.5 mm, wrinkles to 20 % of the laminate."""
    verdict = judge(*measured(*values), plan=DEFECTS)

    assert verdict["outcome"] == outcome
    assert verdict["computed"]["rejected"] == (outcome == "does_not_conform")


def test_a_wrinkle_within_one_rule_may_fail_the_other() -> None:
    """Laminate defects, from memory: 2.4 mm on 8 mm passes 2.5 mm and fails 20 %, 1.6 mm."""
    wrinkle = {"item": "Wrinkle", "accepted": True, "value": "2.4 mm"}

    for limit, outcome in (("2.5 mm", "conforms"), ("1.6 mm", "does_not_conform")):
        plan = {"items": [{"item": "Wrinkle", "max": limit}]}
        assert judge(wrinkle, plan=plan)["outcome"] == outcome


def test_a_dimension_with_limits_that_was_not_measured_is_incomplete() -> None:
    plan = {"items": [{"item": "Wrinkle", "max": "2.5 mm"}]}

    verdict = judge({"item": "Wrinkle", "accepted": True}, plan=plan)

    assert verdict["outcome"] == "incomplete"
    assert verdict["computed"] == {"accepted": 0, "rejected": 0, "open": 1}


def test_a_dimension_within_its_limits_does_not_mend_a_rejection() -> None:
    plan = {"items": [{"item": "Wrinkle", "max": "2.5 mm"}]}
    rejected = {"item": "Wrinkle", "accepted": False, "value": "1 mm", "remark": "sharp"}

    verdict = judge(rejected, plan=plan)

    assert verdict["outcome"] == "does_not_conform"
    assert verdict["findings"][0]["observed"] == "1 mm"


def test_an_exact_dimension_may_be_asked() -> None:
    plan = {"items": [{"item": "Spacer", "min": "10 mm", "max": "10 mm"}]}

    for value, outcome in (("10.0 mm", "conforms"), ("10.01 mm", "does_not_conform")):
        assert judge({"item": "Spacer", "accepted": True, "value": value}, plan=plan)[
            "outcome"
        ] == (outcome)


def test_the_worse_of_two_measurements_of_an_item_decides() -> None:
    plan = {"items": [{"item": "Wrinkle", "max": "2.5 mm"}]}
    answers = [{"item": "Wrinkle", "accepted": True, "value": v} for v in ("2.6 mm", "1 mm")]

    assert judge(*answers, plan=plan)["outcome"] == "does_not_conform"


ANSWERS = st.lists(
    st.builds(
        lambda item, accepted: {"item": item, "accepted": accepted, "remark": "seen"},
        st.sampled_from(["Cracks", "Blisters and pits", "Taper length"]),
        st.booleans(),
    ),
    max_size=6,
)


@given(ANSWERS, st.randoms(use_true_random=False))
def test_the_order_of_answers_does_not_matter(answers: list[dict[str, Any]], chance: Any) -> None:
    mixed = list(answers)
    chance.shuffle(mixed)

    assert judge(*answers)["outcome"] == judge(*mixed)["outcome"]


@given(ANSWERS)
def test_it_conforms_only_where_all_are_answered_and_none_is_rejected(
    answers: list[dict[str, Any]],
) -> None:
    answered = {answer["item"] for answer in answers}
    rejected = any(not answer["accepted"] for answer in answers)

    conforms = judge(*answers)["outcome"] == "conforms"

    assert conforms == (len(answered) == 3 and not rejected)
