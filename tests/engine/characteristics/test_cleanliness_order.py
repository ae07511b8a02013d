"""The partial order of preparation grades, against a truth table and as an order."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.characteristics.cleanliness.grades import (
    GRADES,
    Order,
    Standing,
    is_sspc,
)
from qc.engine.standards.tables import load_tables

MEETS, BELOW, NOT_COMPARABLE = Standing.MEETS, Standing.BELOW, Standing.NOT_COMPARABLE
grades = st.sampled_from(GRADES)

CHAINS = [
    "Sa 1 < Sa 2 < Sa 2½ < Sa 3",
    "St 2 < St 3",
    "Fl",
    "P Sa 2 < P Sa 2½ < P Sa 3",
    "P St 2 < P St 3",
    "P Ma",
    "Wa 1 < Wa 2 < Wa 2½",
    "SP 1",
    "SP 7 < SP 14 < SP 6 < SP 10 < SP 5",
    "SP 2 < SP 3 < SP 15 < SP 11",
    "SP 8",
    "WJ-4 < WJ-3 < WJ-2 < WJ-1",
    "P1 < P2 < P3",
]


def test_every_pair_of_grades_stands_as_its_chain_says() -> None:
    chains = [chain.split(" < ") for chain in CHAINS]
    place = {grade: (c, i) for c, chain in enumerate(chains) for i, grade in enumerate(chain)}

    assert set(place) == set(GRADES)
    for achieved, required in product(GRADES, GRADES):
        (a_chain, a), (r_chain, r) = place[achieved], place[required]
        expected = NOT_COMPARABLE if a_chain != r_chain else MEETS if a >= r else BELOW
        assert Order().standing(achieved, required) is expected, (achieved, required)


@pytest.mark.parametrize(
    ("required", "achieved", "pairs", "expected"),
    [
        ("Sa 2½", "SP 10", [("Sa 2½", "SP 10")], MEETS),
        ("Sa 2½", "SP 5", [("Sa 2½", "SP 10")], MEETS),
        ("Sa 2½", "SP 6", [("Sa 2½", "SP 10")], BELOW),
        ("Sa 2", "SP 10", [("Sa 2½", "SP 10")], MEETS),
        ("Sa 3", "SP 10", [("Sa 2½", "SP 10")], NOT_COMPARABLE),
        ("SP 10", "Sa 2½", [("Sa 2½", "SP 10")], NOT_COMPARABLE),
        ("Sa 2½", "SP 11", [("Sa 2½", "SP 10")], NOT_COMPARABLE),
        ("SP 6", "SP 11", [("SP 6", "SP 11")], MEETS),
        ("SP 6", "SP 3", [("SP 6", "SP 11")], BELOW),
        ("Sa 2½", "WJ-2", [("Sa 2½", "SP 10"), ("SP 10", "WJ-2")], MEETS),
        ("Sa 2½", "WJ-2", [("SP 10", "WJ-2"), ("Sa 2½", "SP 10")], MEETS),
        ("Sa 2½", "WJ-2", [("Sa 2½", "SP 10"), ("WJ-2", "SP 10")], NOT_COMPARABLE),
        ("Sa 2½", "Sa 3", [("Sa 2½", "Sa 2½")], MEETS),
    ],
)
def test_only_listed_pairs_join_chains_and_only_one_way(
    required: str, achieved: str, pairs: list[tuple[str, str]], expected: Standing
) -> None:
    assert Order(pairs).standing(achieved, required) is expected


def test_the_grade_that_decides_is_named() -> None:
    by = Order([("Sa 2½", "SP 10")]).accepted("Sa 2")

    assert by == {g: "Sa 2" for g in ("Sa 2", "Sa 2½", "Sa 3")} | {
        g: "SP 10" for g in ("SP 10", "SP 5")
    }


@pytest.mark.parametrize(
    ("required", "pairs", "lower"),
    [
        ("Sa 2½", [("Sa 2½", "Sa 2")], "Sa 2"),
        ("Sa 2½", [("Sa 2½", "SP 10"), ("SP 10", "Sa 1")], "Sa 1"),
        ("Sa 2½", [("Sa 2½", "SP 10")], ""),
        ("Sa 2½", [("Sa 2½", "Sa 3")], ""),
    ],
)
def test_pairs_that_would_lower_the_requirement_are_found(
    required: str, pairs: list[tuple[str, str]], lower: str
) -> None:
    assert Order(pairs).lowered(required) == lower


@pytest.mark.parametrize(
    ("achieved", "required", "joined", "apart"),
    [
        ("SP 3", "SP 2", MEETS, NOT_COMPARABLE),
        ("SP 15", "SP 2", MEETS, NOT_COMPARABLE),
        ("SP 11", "SP 2", MEETS, NOT_COMPARABLE),
        ("SP 2", "SP 3", BELOW, NOT_COMPARABLE),
        ("SP 2", "SP 11", BELOW, NOT_COMPARABLE),
        ("SP 2", "SP 2", MEETS, MEETS),
        ("SP 11", "SP 3", MEETS, MEETS),
        ("SP 3", "SP 15", BELOW, BELOW),
    ],
)
def test_whether_power_tools_meet_hand_tools_is_a_setting(
    achieved: str, required: str, joined: Standing, apart: Standing
) -> None:
    """Common practice puts SP 2 below SP 3; a plan may keep them apart."""
    assert Order().standing(achieved, required) is joined
    assert Order(hand_below_power=False).standing(achieved, required) is apart


def test_the_setting_touches_no_other_pair() -> None:
    for achieved, required in product(GRADES, GRADES):
        if "SP 2" not in (achieved, required):
            apart = Order(hand_below_power=False).standing(achieved, required)
            assert apart is Order().standing(achieved, required)


def test_a_plan_may_join_hand_and_power_tools_one_way_by_its_pairs() -> None:
    order = Order([("SP 2", "SP 3")], hand_below_power=False)

    assert order.standing("SP 11", "SP 2") is MEETS
    assert order.standing("SP 2", "SP 3") is NOT_COMPARABLE


@pytest.mark.parametrize(
    ("iso", "sspc"),
    [
        ("Sa 3", "SP 5"),
        ("Sa 2½", "SP 10"),
        ("Sa 2", "SP 6"),
        ("Sa 1", "SP 7"),
        ("St 3", "SP 3"),
        ("St 2", "SP 2"),
    ],
)
def test_a_rough_correspondence_decides_nothing_by_itself(iso: str, sspc: str) -> None:
    """Published comparison tables; Sa 2 1/2 is described with stains on 15 %, SP 10 with 5 %."""
    assert Order().standing(sspc, iso) is NOT_COMPARABLE
    assert Order().standing(iso, sspc) is NOT_COMPARABLE
    assert Order([(iso, sspc)]).standing(sspc, iso) is MEETS


def test_valid_designations_add_up_to_the_photographs() -> None:
    """ISO 8501-1:2007, published: 28 photographs, 14 of them of blast-cleaned steel."""
    none_for_a = set(
        load_tables("qc.engine.characteristics.cleanliness")["photographs"]["none_for_a"]
    )

    def count(*series: str) -> int:
        return sum(4 - (g in none_for_a) for g in GRADES if g.startswith(series))

    assert (count("Sa "), count("St "), count("Fl")) == (14, 6, 4)
    assert 4 + count("Sa ", "St ", "Fl") == 28


@given(grades)
def test_every_grade_meets_itself(grade: str) -> None:
    assert Order().standing(grade, grade) is MEETS


@given(grades, grades, grades, st.lists(st.tuples(grades, grades), max_size=4))
def test_meeting_carries_over(
    low: str, middle: str, high: str, pairs: list[tuple[str, str]]
) -> None:
    if Order(pairs).standing(middle, low) is MEETS and Order(pairs).standing(high, middle) is MEETS:
        assert Order(pairs).standing(high, low) is MEETS


@given(grades, grades, st.lists(st.tuples(grades, grades), max_size=4))
def test_listing_equivalents_never_takes_a_grade_away(
    achieved: str, required: str, pairs: list[tuple[str, str]]
) -> None:
    if Order().standing(achieved, required) is MEETS:
        assert Order(pairs).standing(achieved, required) is MEETS


def test_the_grades_that_solvent_cleaning_precedes_are_those_of_sspc() -> None:
    assert {grade for grade in GRADES if is_sspc(grade)} == {
        *(f"SP {n}" for n in (2, 3, 5, 6, 7, 8, 10, 11, 14, 15)),
        *(f"WJ-{n}" for n in (1, 2, 3, 4)),
    }
