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
    assert taper["statement"] == "Taper length: accepted. 55 mm, upstream end"


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
    ],
)
def test_a_list_with_a_nameless_or_a_double_item_is_refused(items: list[Any]) -> None:
    with pytest.raises(InvalidValue, match="items"):
        judge(CRACKS, plan={"items": items})


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
