"""Draws follow from the seed alone, and are the same on any machine."""

from collections import Counter
from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.sampling.draws import Draws


def test_the_draws_of_a_seed_are_these_for_ever() -> None:
    """A record that names its seed must lead to the same places years later."""
    draws = Draws("R-0001/7")

    assert [draws.below(1000) for _ in range(8)] == [218, 538, 526, 263, 650, 927, 305, 200]


def test_a_draw_is_the_digest_of_seed_and_number_modulo_the_bound() -> None:
    first = int.from_bytes(sha256(b"a/0").digest(), "big")
    second = int.from_bytes(sha256(b"a/1").digest(), "big")

    draws = Draws("a")

    assert (draws.below(97), draws.below(10**9)) == (first % 97, second % 10**9)


def test_a_digest_in_the_incomplete_last_multiple_is_skipped() -> None:
    """Above half of all digests, a bound has one multiple only; "a" skips where the first lies
    beyond it."""
    bound = 2**255 + 1
    expected = next(
        value
        for i in range(100)
        if (value := int.from_bytes(sha256(f"b/{i}".encode()).digest(), "big")) < bound
    )

    assert Draws("b").below(bound) == expected


def test_another_seed_draws_otherwise() -> None:
    one, other = Draws("a"), Draws("b")

    assert [one.below(10**6) for _ in range(5)] != [other.below(10**6) for _ in range(5)]


@pytest.mark.parametrize("bound", [0, -1])
def test_nothing_is_drawn_below_nothing(bound: int) -> None:
    with pytest.raises(ValueError, match="no whole number"):
        Draws("a").below(bound)


@given(st.text(max_size=20), st.integers(1, 10**12))
def test_a_draw_lies_within_its_bound_and_repeats(seed: str, bound: int) -> None:
    seed = seed.encode("utf-8", "ignore").decode()
    drawn = [Draws(seed).below(bound) for _ in range(2)]

    assert drawn[0] == drawn[1]
    assert 0 <= drawn[0] < bound


def test_the_six_sides_of_a_die_come_up_about_equally_often() -> None:
    """6000 throws: 1000 a side, within five standard deviations (29 each)."""
    draws = Draws("die")
    seen = Counter(draws.below(6) for _ in range(6000))

    assert set(seen) == set(range(6))
    assert all(abs(count - 1000) < 5 * 29 for count in seen.values())
