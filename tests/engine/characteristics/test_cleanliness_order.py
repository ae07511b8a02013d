"""The partial order of preparation grades, against a truth table and as an order."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.characteristics.cleanliness.grades import (
    GRADES,
    Standing,
    accepted,
    is_sspc,
    lowered,
    standing,
)

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
        assert standing(achieved, required, ()) is expected, (achieved, required)


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
    assert standing(achieved, required, pairs) is expected


def test_the_grade_that_decides_is_named() -> None:
    by = accepted("Sa 2", [("Sa 2½", "SP 10")])

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
    assert lowered(required, pairs) == lower


@given(grades)
def test_every_grade_meets_itself(grade: str) -> None:
    assert standing(grade, grade, ()) is MEETS


@given(grades, grades, grades, st.lists(st.tuples(grades, grades), max_size=4))
def test_meeting_carries_over(
    low: str, middle: str, high: str, pairs: list[tuple[str, str]]
) -> None:
    if standing(middle, low, pairs) is MEETS and standing(high, middle, pairs) is MEETS:
        assert standing(high, low, pairs) is MEETS


@given(grades, grades, st.lists(st.tuples(grades, grades), max_size=4))
def test_listing_equivalents_never_takes_a_grade_away(
    achieved: str, required: str, pairs: list[tuple[str, str]]
) -> None:
    if standing(achieved, required, ()) is MEETS:
        assert standing(achieved, required, pairs) is MEETS


def test_the_grades_that_solvent_cleaning_precedes_are_those_of_sspc() -> None:
    assert {grade for grade in GRADES if is_sspc(grade)} == {
        *(f"SP {n}" for n in (2, 3, 5, 6, 7, 8, 10, 11, 14, 15)),
        *(f"WJ-{n}" for n in (1, 2, 3, 4)),
    }
