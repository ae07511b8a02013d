"""Dust: both rules at their boundaries, and what a size class means."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from qc.engine.rules import Outcome

SIMPLE = {"quantity_max": 2, "size_max": 2}
IMO = {"rule": "imo"}
WORST_FIRST = list(Outcome)


def judge(criteria: dict[str, Any], *tests: dict[str, Any]) -> dict[str, Any]:
    return judge_case({"characteristic": "dust", "criteria": criteria, "readings": list(tests)})


def tape(quantity: int, size: int | None = None, **more: Any) -> dict[str, Any]:
    return {"quantity": quantity, "size": size, **more}


@pytest.mark.parametrize(
    ("quantity", "size", "outcome"),
    [
        (2, 2, "conforms"),
        (2, 3, "does_not_conform"),
        (3, 1, "does_not_conform"),
        (3, 3, "does_not_conform"),
        (0, 0, "conforms"),
        (1, 2, "conforms"),
    ],
)
def test_quantity_and_size_each_stay_within_their_limit(
    quantity: int, size: int, outcome: str
) -> None:
    """Limits 2 and 2, from memory of NORSOK M-501."""
    assert judge(SIMPLE, tape(quantity, size))["outcome"] == outcome
    assert judge(SIMPLE | {"rule": "simple"}, tape(quantity, size))["outcome"] == outcome


@pytest.mark.parametrize("limit", range(6))
@pytest.mark.parametrize("found", range(6))
def test_a_rating_on_its_limit_conforms_and_one_above_does_not(found: int, limit: int) -> None:
    expected = "conforms" if found <= limit else "does_not_conform"

    assert judge({"quantity_max": limit}, tape(found, 1))["outcome"] == expected
    assert judge({"size_max": limit}, tape(1, found))["outcome"] == expected


def test_without_dust_the_size_class_means_nothing() -> None:
    verdict = judge(SIMPLE, tape(0, 5))

    assert verdict["outcome"] == "conforms"
    assert verdict["computed"] == {"highest_quantity": 0, "highest_size": 0}
    assert judge(SIMPLE, tape(0))["outcome"] == "conforms"


def test_a_size_class_that_is_asked_for_must_be_stated() -> None:
    assert judge(SIMPLE, tape(1))["outcome"] == "cannot_be_judged"
    assert judge(SIMPLE, tape(3))["outcome"] == "does_not_conform"
    assert judge({"quantity_max": 2}, tape(1))["outcome"] == "conforms"
    assert judge(SIMPLE, tape(1))["computed"]["highest_size"] is None


@pytest.mark.parametrize(
    ("quantity", "size", "visible", "outcome"),
    [
        (1, 4, None, "conforms"),
        (1, 3, None, "conforms"),
        (1, 5, True, "conforms"),
        (2, 3, None, "does_not_conform"),
        (2, 5, False, "does_not_conform"),
        (3, 2, True, "does_not_conform"),
        (3, 2, False, "conforms"),
        (3, 2, None, "cannot_be_judged"),
        (1, 1, True, "does_not_conform"),
        (1, 1, None, "cannot_be_judged"),
        (1, 0, None, "conforms"),
        (1, 0, True, "does_not_conform"),
        (0, 0, None, "conforms"),
        (0, 4, True, "conforms"),
        (1, None, False, "cannot_be_judged"),
    ],
)
def test_the_imo_form_takes_large_dust_by_quantity_and_small_dust_by_sight(
    quantity: int, size: int | None, visible: bool | None, outcome: str
) -> None:
    """From memory of the IMO performance standard; to be confirmed against the licensed text."""
    verdict = judge(IMO, tape(quantity, size, visible=visible))

    assert verdict["outcome"] == outcome
    assert "to be confirmed against the licensed text" in verdict["findings"][1]["source"]


def test_the_plan_may_set_another_quantity_in_the_imo_form() -> None:
    assert judge(IMO | {"quantity_max": 2}, tape(2, 4))["outcome"] == "conforms"
    assert judge(IMO | {"quantity_max": 0}, tape(1, 4))["outcome"] == "does_not_conform"


def test_the_imo_form_with_a_size_limit_is_refused() -> None:
    with pytest.raises(InvalidValue, match=r"^criteria\.size_max: "):
        judge(IMO | {"size_max": 2}, tape(1, 1))


@pytest.mark.parametrize("criteria", [{}, {"rule": "simple"}, {"readings_min": 1}])
def test_a_plan_without_a_limit_cannot_be_judged(criteria: dict[str, Any]) -> None:
    assert judge(criteria, tape(0))["outcome"] == "cannot_be_judged"


@pytest.mark.parametrize("criteria", [SIMPLE, IMO])
def test_fewer_tests_than_asked_are_incomplete(criteria: dict[str, Any]) -> None:
    asked = criteria | {"readings_min": 2}

    assert judge(asked, tape(0))["outcome"] == "incomplete"
    assert judge(asked, tape(0), tape(1, 3 if criteria is IMO else 2))["outcome"] == "conforms"
    assert judge(criteria)["outcome"] == "incomplete"


def test_the_failing_places_are_named() -> None:
    tests = [tape(1, 1, location="north"), tape(3, 2, location="south"), tape(4, 2)]

    quantity = judge(SIMPLE, *tests)["findings"][1]
    imo = judge(IMO, *(t | {"visible": True} for t in tests[1:]))["findings"][1]

    assert "reading 3, highest of 3" in quantity["statement"]
    assert "2 of 3 tests fail: reading 3, south." in quantity["statement"]
    assert imo["statement"].startswith("South, reading 2: dust of size class 2 is visible")
    assert imo["observed"] == "quantity 3, size 2, quantity 4, size 2"


def test_what_the_tape_test_is_not_made_for_is_told() -> None:
    """ISO 8502-3, scope, read second-hand: steel of rust grade A, B or C before cleaning."""
    flags = judge(SIMPLE, tape(1, 1, rust_grade="D", discoloured=True))["flags"]

    assert [flag.split(":")[0] for flag in flags] == ["dust.rust_grade", "dust.discoloured"]
    assert judge(SIMPLE, tape(1, 1, rust_grade="C", discoloured=False))["flags"] == []


@pytest.mark.parametrize(
    "wrong", [{"quantity": 6}, {"quantity": -1}, {"quantity": None}, {"size": "2.5"}]
)
def test_a_rating_is_a_whole_number_from_0_to_5(wrong: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^readings\[0\]\.{next(iter(wrong))}: "):
        judge(SIMPLE, tape(1, 1) | wrong)
    with pytest.raises(InvalidValue, match=r"^criteria\.quantity_max: "):
        judge({"quantity_max": 6}, tape(1, 1))


def rank(verdict: dict[str, Any]) -> int:
    """Larger is better."""
    return WORST_FIRST.index(verdict["outcome"])


ratings = st.integers(0, 5)


@given(ratings, ratings, ratings, ratings)
def test_more_or_larger_dust_never_improves_the_verdict(
    quantity: int, size: int, more: int, larger: int
) -> None:
    worse = tape(max(quantity, more), max(size, larger))

    assert rank(judge(SIMPLE, worse)) <= rank(judge(SIMPLE, tape(quantity, size)))


@given(ratings, ratings, ratings, st.booleans())
def test_more_or_visible_dust_never_improves_the_verdict_of_the_imo_form(
    quantity: int, size: int, more: int, visible: bool
) -> None:
    better = rank(judge(IMO, tape(quantity, size, visible=visible)))

    assert rank(judge(IMO, tape(max(quantity, more), size, visible=visible))) <= better
    assert rank(judge(IMO, tape(quantity, size, visible=True))) <= better


tapes = st.lists(st.builds(tape, ratings, ratings, visible=st.booleans()), min_size=1, max_size=5)


@given(st.sampled_from([SIMPLE, IMO]), tapes, st.data())
def test_the_order_of_tests_does_not_matter(
    criteria: dict[str, Any], tests: list[dict[str, Any]], data: st.DataObject
) -> None:
    mixed = data.draw(st.permutations(tests))

    assert judge(criteria, *tests)["outcome"] == judge(criteria, *mixed)["outcome"]
    assert judge(criteria, *tests)["computed"] == judge(criteria, *mixed)["computed"]


def test_counts_flags_and_findings_name_the_readings_they_mean() -> None:
    tests = [tape(1, 1), tape(2, 2, rust_grade="D"), tape(1), tape(0, 0, discoloured=True)]

    verdict = judge(SIMPLE, *tests)

    statements = [finding["statement"] for finding in verdict["findings"]]
    assert statements == [
        "4 tests, at least 1 asked for.",
        "Quantity, reading 2, highest of 4, 2: at most 2 is met.",
        "Size class, reading 2, highest of 3, 2: at most 2 is met.",
        "Reading 3: the size class of the dust is not stated.",
    ]
    assert [flag.split(": ")[1] for flag in verdict["flags"]] == ["reading 2", "reading 4"]
    assert verdict["computed"] == {"highest_quantity": 2, "highest_size": 2}


def test_the_imo_form_says_what_it_asks_and_why() -> None:
    found = judge(IMO, tape(2, 4), tape(1, 3), tape(1, 2, visible=False))["findings"][1]

    assert found["limit"] == "quantity 1 for size classes 3 to 5, no smaller dust visible"
    assert found["statement"] == "Reading 1: quantity 2 of size class 4 is above 1."
    good = judge(IMO, tape(1, 3), tape(1, 2, visible=False), tape(0))["findings"][1]
    assert good["statement"] == (
        "Reading 1: quantity 1 of size class 3 is within 1; reading 2: dust of size class 2 is not "
        "visible without magnification; reading 3: no dust."
    )
