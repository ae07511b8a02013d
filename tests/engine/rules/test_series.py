"""Many values against one limit: the decisive one is judged, all that fail are counted."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.quantities import Quantity
from qc.engine.rules import Bound, Finding, Limit, Outcome, judge_each, listed

values = st.lists(st.decimals(0, 10, places=1), min_size=1, max_size=30)


def limit(bound: Bound, value: str = "5 mil") -> Limit:
    return Limit(rule="r", label="Profile", value=Quantity.parse(value), bound=bound)


def judge(bound: Bound, *found: str, unit: str = "mil", asked: str = "5 mil") -> Finding:
    readings = [Decimal(value) for value in found]
    return judge_each(limit(bound, asked), readings, unit, lambda i: f"reading {i + 1}")


@pytest.mark.parametrize(
    ("bound", "decisive", "failing"),
    [
        (Bound.AT_LEAST, "4.0 mil", "2 of 5 values fail: reading 3, reading 1."),
        (Bound.ABOVE, "4.0 mil", "3 of 5 values fail: reading 3, reading 1, reading 4."),
        (Bound.AT_MOST, "7.0 mil", "2 of 5 values fail: reading 5, reading 2."),
        (Bound.BELOW, "7.0 mil", "3 of 5 values fail: reading 5, reading 2, reading 4."),
    ],
)
def test_the_worst_value_is_judged_and_all_that_fail_are_named_worst_first(
    bound: Bound, decisive: str, failing: str
) -> None:
    found = judge(bound, "4.5", "6", "4", "5", "7")

    assert found.outcome is Outcome.DOES_NOT_CONFORM
    assert found.observed == decisive
    assert found.statement.endswith(failing)


def test_where_none_fails_the_nearest_to_the_limit_is_stated() -> None:
    found = judge(Bound.AT_LEAST, "6", "5", "7")

    assert found.outcome is Outcome.CONFORMS
    assert found.statement == "Profile, reading 2, lowest of 3, 5.0 mil: at least 5 mil is met."


def test_a_single_value_is_not_counted() -> None:
    assert "of 1" not in judge(Bound.AT_LEAST, "4").statement


def test_values_in_another_unit_are_compared_exactly() -> None:
    assert judge(Bound.AT_LEAST, "127", "127", unit="um").outcome is Outcome.CONFORMS
    found = judge(Bound.AT_LEAST, "127", "126.999", unit="um")
    assert found.statement.endswith("1 of 2 values fails: reading 2.")


@pytest.mark.parametrize(
    ("names", "text"),
    [
        ([], ""),
        ([1], "1"),
        ([1, 2, 3, 4, 5], "1, 2, 3, 4, 5"),
        ([1, 2, 3, 4, 5, 6], "1, 2, 3, 4, 5, ..."),
    ],
)
def test_a_long_list_of_names_is_cut(names: list[int], text: str) -> None:
    assert listed(names) == text


@given(values, st.sampled_from(Bound))
def test_the_finding_is_that_of_judging_each_alone(found: list[Decimal], bound: Bound) -> None:
    alone = [limit(bound).judge(Quantity(v, "mil")).outcome for v in found]
    failing = alone.count(Outcome.DOES_NOT_CONFORM)

    together = judge_each(limit(bound), found, "mil", str)

    assert (together.outcome is Outcome.CONFORMS) is (failing == 0)
    if failing and len(found) > 1:
        assert f" {failing} of {len(found)} values " in together.statement
