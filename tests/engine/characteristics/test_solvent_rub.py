"""Solvent rubs against an agreed rating."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

AGREED = {"rating_min": 4}


def judge(criteria: dict[str, Any], *rubs: dict[str, Any]) -> dict[str, Any]:
    return judge_case(
        {"characteristic": "solvent_rub", "criteria": criteria, "readings": list(rubs)}
    )


def rub(rating: int, rubs: int = 50, **more: Any) -> dict[str, Any]:
    return {"rating": rating, "rubs": rubs, **more}


@pytest.mark.parametrize(
    ("rating", "outcome"),
    [(5, "conforms"), (4, "conforms"), (3, "does_not_conform"), (0, "does_not_conform")],
)
def test_the_rating_reaches_the_agreed_one(rating: int, outcome: str) -> None:
    assert judge(AGREED, rub(rating))["outcome"] == outcome


def test_the_lowest_rating_above_penetration_still_asks_for_all_rubs() -> None:
    assert judge({"rating_min": 1}, rub(1, 49))["outcome"] == "incomplete"


@pytest.mark.parametrize(("rubs", "outcome"), [(50, "conforms"), (49, "incomplete")])
def test_a_coat_not_rubbed_through_stands_fifty_double_rubs(rubs: int, outcome: str) -> None:
    """From memory of ASTM D4752; to be confirmed against the licensed text."""
    verdict = judge(AGREED, rub(5, rubs))

    assert verdict["outcome"] == outcome
    assert all("D4752" in f["source"] for f in verdict["findings"] if f["rule"].endswith("rubs"))


def test_the_plan_may_ask_for_another_number_of_rubs() -> None:
    criteria = AGREED | {"rubs_min": 100}

    assert judge(criteria, rub(5, 99))["outcome"] == "incomplete"
    assert judge(criteria, rub(5, 100))["outcome"] == "conforms"


def test_rubbed_through_early_fails_and_is_not_incomplete() -> None:
    verdict = judge(AGREED, rub(0, 12, penetrated=True))

    assert verdict["outcome"] == "does_not_conform"
    assert verdict["computed"] == {"lowest": 0}


@pytest.mark.parametrize(("rating", "through"), [(4, True), (0, False)])
def test_a_rating_that_contradicts_what_was_seen_cannot_be_judged(
    rating: int, through: bool
) -> None:
    verdict = judge(AGREED, rub(rating, penetrated=through))

    said = "place 1: rubbed through" if through else "place 1: not rubbed through"
    assert verdict["outcome"] == "cannot_be_judged"
    assert verdict["findings"][-1]["statement"].startswith(said)


def test_the_lowest_rating_and_its_place_are_told() -> None:
    verdict = judge(AGREED, rub(5), rub(3, location="6 o'clock"), rub(4))

    assert verdict["computed"] == {"lowest": 3}
    assert "6 o'clock, 3:" in verdict["findings"][2]["statement"]


def test_without_an_agreed_rating_nothing_is_judged() -> None:
    assert judge({}, rub(5))["outcome"] == "cannot_be_judged"


@pytest.mark.parametrize(
    ("control", "outcome"),
    [(4, "conforms"), (5, "does_not_conform"), (None, "cannot_be_judged")],
)
def test_where_a_control_panel_is_asked_the_coat_is_no_worse_than_it(
    control: int | None, outcome: str
) -> None:
    criteria = AGREED | {"control_panel": True}

    assert judge(criteria, rub(4, control_rating=control))["outcome"] == outcome


def test_fewer_places_than_asked_are_incomplete() -> None:
    criteria = AGREED | {"readings_min": 2}

    assert judge(criteria, rub(5))["outcome"] == "incomplete"
    assert judge(criteria, rub(5), rub(4))["outcome"] == "conforms"
    assert judge(criteria, rub(3))["outcome"] == "does_not_conform"
    assert judge(AGREED)["outcome"] == "incomplete"


@pytest.mark.parametrize(
    "reading", [{"rating": 6, "rubs": 50}, {"rating": 4}, {"rubs": 50}, {"rating": 4, "rubs": "x"}]
)
def test_readings_without_sense_are_refused(reading: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=r"readings\[0\]"):
        judge(AGREED, reading)
