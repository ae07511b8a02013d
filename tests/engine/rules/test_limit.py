"""Limits: each bound on its limit and beside it, guarded or not, and what the finding says."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.quantities import Quantity, symbol_of
from qc.engine.rules import Bound, Decision, Finding, Limit, Outcome

CONFORMS, FAILS = Outcome.CONFORMS, Outcome.DOES_NOT_CONFORM
values = st.decimals(-1000, 1000, places=3)
bounds = st.sampled_from(Bound)


def limit(bound: Bound, value: str = "3", **more: object) -> Limit:
    magnitude = Decimal(value)
    return Limit(rule="r", label="Margin", value=magnitude, bound=bound, **more)  # type: ignore[arg-type]


def celsius(bound: Bound, value: str = "3", **more: object) -> Limit:
    quantity = Quantity(Decimal(value), "delta_degC")
    return Limit(rule="r", label="Margin", value=quantity, bound=bound, **more)  # type: ignore[arg-type]


def judged(found: Limit, value: str) -> Finding:
    return found.judge(Decimal(value))


@pytest.mark.parametrize(
    ("bound", "below", "on", "above"),
    [
        (Bound.AT_LEAST, FAILS, CONFORMS, CONFORMS),
        (Bound.ABOVE, FAILS, FAILS, CONFORMS),
        (Bound.AT_MOST, CONFORMS, CONFORMS, FAILS),
        (Bound.BELOW, CONFORMS, FAILS, FAILS),
    ],
)
def test_each_bound_knows_its_good_side(
    bound: Bound, below: Outcome, on: Outcome, above: Outcome
) -> None:
    outcomes = [judged(limit(bound), v).outcome for v in ("2.999999", "3", "3.000001")]

    assert outcomes == [below, on, above]


@pytest.mark.parametrize(
    ("bound", "value", "outcome"),
    [
        (Bound.AT_LEAST, "3.499", FAILS),
        (Bound.AT_LEAST, "3.5", CONFORMS),
        (Bound.ABOVE, "3.5", FAILS),
        (Bound.ABOVE, "3.501", CONFORMS),
        (Bound.AT_MOST, "2.5", CONFORMS),
        (Bound.AT_MOST, "2.501", FAILS),
        (Bound.BELOW, "2.499", CONFORMS),
        (Bound.BELOW, "2.5", FAILS),
    ],
)
def test_a_guarded_decision_moves_the_limit_inwards_by_u(
    bound: Bound, value: str, outcome: Outcome
) -> None:
    """ILAC-G8:09/2019: acceptance limit a guard band of U inside the tolerance limit."""
    guarded = limit(bound, decision=Decision.GUARDED, uncertainty=Decimal("0.5"))

    assert judged(guarded, value).outcome is outcome


@pytest.mark.parametrize(("value", "outcome"), [("3.414", FAILS), ("3.415", CONFORMS)])
def test_the_guard_band_may_be_a_share_of_u(value: str, outcome: Outcome) -> None:
    """ISO 14253-1:2017 as quoted: 0.83 of U."""
    guarded = limit(
        Bound.AT_LEAST,
        decision=Decision.GUARDED,
        uncertainty=Decimal("0.5"),
        guard_factor=Decimal("0.83"),
    )

    assert judged(guarded, value).outcome is outcome


def test_a_guarded_limit_says_so_and_a_value_inside_the_band_too() -> None:
    guarded = celsius(Bound.AT_LEAST, decision=Decision.GUARDED, uncertainty=Decimal("0.5"))

    finding = guarded.judge(Quantity(Decimal("3.2"), "delta_degC"))

    assert finding.outcome is FAILS
    assert finding.limit == "at least 3 °C, guarded by 0.5 °C"
    assert "inside the guard band" in finding.statement


@pytest.mark.parametrize(
    ("decision", "value", "flag"),
    [
        (Decision.SIMPLE, "3.5", "r: conditional pass"),
        (Decision.SIMPLE, "3.501", None),
        (Decision.SIMPLE, "3", "r: conditional pass"),
        (Decision.SIMPLE, "2.9", "r: conditional fail"),
        (Decision.SIMPLE, "2.5", "r: conditional fail"),
        (Decision.SIMPLE, "2.499", None),
        (Decision.GUARDED, "3.2", "r: conditional pass"),
        (Decision.GUARDED, "2.8", "r: conditional fail"),
    ],
)
def test_within_u_of_the_limit_the_answer_is_conditional(
    decision: Decision, value: str, flag: str | None
) -> None:
    doubtful = limit(Bound.AT_LEAST, decision=decision, uncertainty=Decimal("0.5"))

    assert judged(doubtful, value).flags == (() if flag is None else (flag,))


def test_without_an_uncertainty_nothing_is_flagged_and_nothing_guarded() -> None:
    plain = limit(Bound.AT_LEAST, decision=Decision.GUARDED)

    assert judged(plain, "3").outcome is CONFORMS
    assert judged(plain, "3").flags == ()


@pytest.mark.parametrize(("value", "chance"), [("3", "0.500"), ("3.5", "0.977"), ("2.5", "0.023")])
def test_the_probability_of_conformity_is_stated_where_asked_for(value: str, chance: str) -> None:
    """Normal distribution with u = U/2: two standard deviations are 0.977 (calculated)."""
    asked = limit(Bound.AT_LEAST, uncertainty=Decimal("0.5"), probability=True)

    assert f"r: probability of conformity {chance}" in judged(asked, value).flags
    at_most = limit(Bound.AT_MOST, uncertainty=Decimal("0.5"), probability=True)
    mirrored = str(Decimal(6) - Decimal(value))
    assert f"r: probability of conformity {chance}" in judged(at_most, mirrored).flags


def test_a_limit_is_compared_in_its_own_unit() -> None:
    five_fahrenheit = Limit(
        rule="r",
        label="Margin",
        value=Quantity(Decimal(5), "delta_degF"),
        bound=Bound.AT_LEAST,
        source="the plan",
    )

    finding = five_fahrenheit.judge(Quantity(Decimal("2.7"), "delta_degC"), "reading 3")

    assert finding.outcome is FAILS
    assert (finding.observed, finding.limit) == ("4.9 °F", "at least 5 °F")
    assert finding.statement == "Margin, reading 3, 4.9 °F: misses at least 5 °F by 0.1 °F."
    assert finding.source == "the plan"
    assert five_fahrenheit.judge(Quantity(Fraction(25, 9), "delta_degC")).outcome is CONFORMS


def test_a_met_limit_is_stated_as_met() -> None:
    finding = celsius(Bound.AT_LEAST).judge(Quantity(Decimal("3.04"), "delta_degC"))

    assert finding.statement == "Margin 3.04 °C: at least 3 °C is met."


def test_a_value_on_an_excluded_limit_misses_by_nothing() -> None:
    finding = celsius(Bound.ABOVE).judge(Quantity(Decimal("3.0"), "delta_degC"))

    assert finding.outcome is FAILS
    assert finding.statement == "Margin 3.0 °C: lies on the limit, which asks for above 3 °C."


def test_a_quantity_never_compares_with_a_bare_number() -> None:
    with pytest.raises(TypeError, match="a quantity is compared with a quantity"):
        celsius(Bound.AT_LEAST).judge(Decimal(3))
    with pytest.raises(TypeError, match="a number is compared with a number"):
        limit(Bound.AT_LEAST).judge(Quantity(Decimal(3), "delta_degC"))


@given(bounds, values, values)
def test_the_outcome_is_that_of_the_unrounded_values(
    bound: Bound, asked: Decimal, value: Decimal
) -> None:
    expected = {
        Bound.AT_LEAST: value >= asked,
        Bound.ABOVE: value > asked,
        Bound.AT_MOST: value <= asked,
        Bound.BELOW: value < asked,
    }[bound]

    assert (limit(bound, str(asked)).judge(value).outcome is CONFORMS) is expected


@given(bounds, values, values, st.decimals(0, 10, places=3))
def test_a_guard_band_never_lets_more_pass(
    bound: Bound, asked: Decimal, value: Decimal, uncertainty: Decimal
) -> None:
    guarded = limit(bound, str(asked), decision=Decision.GUARDED, uncertainty=uncertainty)

    if guarded.judge(value).outcome is CONFORMS:
        assert limit(bound, str(asked)).judge(value).outcome is CONFORMS


@given(bounds, values, values, st.decimals("0.001", 10, places=3))
def test_a_worse_value_never_improves_the_outcome(
    bound: Bound, asked: Decimal, value: Decimal, worse: Decimal
) -> None:
    found = limit(bound, str(asked))

    if found.judge(value).outcome is FAILS:
        assert found.judge(value - worse if bound.is_lower else value + worse).outcome is FAILS


@given(bounds, values, values)
def test_a_failing_value_never_prints_as_its_limit(
    bound: Bound, asked: Decimal, value: Decimal
) -> None:
    finding = celsius(bound, str(asked)).judge(Quantity(value, "delta_degC"))
    observed = finding.observed.removesuffix(f" {symbol_of('delta_degC')}")

    if value != asked:
        assert Decimal(observed) != asked
