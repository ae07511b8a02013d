"""Guarded rejection: only what lies beyond a limit by more than the uncertainty is rejected."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.characteristic import Characteristic
from qc.engine.characteristics import ALL
from qc.engine.quantities import Quantity
from qc.engine.rules import Bound, Decision, Limit, Outcome

CONFORMS, FAILS = Outcome.CONFORMS, Outcome.DOES_NOT_CONFORM
SHORE = {"scale": "shore_d", "min": "72", "expanded_uncertainty": "3"}


def limit(value: str, bound: Bound, u: str | None, **more: Any) -> Limit:
    return Limit(
        rule="r",
        label="Value",
        value=Decimal(value),
        bound=bound,
        source="the plan",
        decision=Decision.GUARDED_REJECTION,
        uncertainty=None if u is None else Decimal(u),
        **more,
    )


def shore(value: str, **more: str) -> dict[str, Any]:
    case = {"characteristic": "hardness", "criteria": SHORE | more, "readings": []}
    return judge_case(case | {"readings": [{"values": [value]}]})


@pytest.mark.parametrize(
    ("bound", "taken", "rejected"),
    [
        (Bound.AT_LEAST, "285", "284.999"),
        (Bound.ABOVE, "285.001", "285"),
        (Bound.AT_MOST, "315", "315.001"),
        (Bound.BELOW, "314.999", "315"),
    ],
)
def test_a_guard_band_below_zero_widens_the_limit_by_u(
    bound: Bound, taken: str, rejected: str
) -> None:
    """Uncritical rejection, w = -U, from memory: limit 300 with U = 15, calculated."""
    found = limit("300", bound, "15")

    assert found.judge(Decimal(taken)).outcome is CONFORMS
    assert found.judge(Decimal(rejected)).outcome is FAILS


def test_the_guard_band_may_be_a_share_of_u() -> None:
    """Calculated: 0.83 U of 15 are 12.45."""
    found = limit("300", Bound.AT_LEAST, "15", guard_factor=Decimal("0.83"))

    assert found.judge(Decimal("287.55")).outcome is CONFORMS
    assert found.judge(Decimal("287.54")).outcome is FAILS


def test_the_finding_says_that_and_by_how_much_the_limit_was_widened() -> None:
    within, beyond, met = (
        limit("300", Bound.AT_LEAST, "15").judge(Decimal(value)) for value in ("290", "280", "301")
    )

    assert within.limit == "at least 300, widened by 15 (guarded rejection)"
    assert within.statement == (
        "Value 290.0: misses at least 300 by 10.0, within the 15 that guarded rejection allows."
    )
    assert within.flags == ("r: conditional fail, accepted by guarded rejection",)
    assert beyond.statement == (
        "Value 280.0: misses at least 300 by 20.0, more than the 15 that guarded rejection allows."
    )
    assert beyond.flags == ()
    assert met.statement == ("Value 301.0: at least 300, widened by 15 (guarded rejection) is met.")
    assert met.flags == ("r: conditional pass",)
    for found in (within, beyond, met):
        assert found.source == (
            "the plan; guarded rejection to be confirmed against the licensed text"
        )


def test_a_value_on_an_excluded_limit_is_accepted_and_one_on_the_edge_is_not() -> None:
    found = limit("300", Bound.ABOVE, "15")

    assert found.judge(Decimal(300)).outcome is CONFORMS
    edge = found.judge(Decimal(285))
    assert edge.flags == ("r: conditional fail",)


def test_without_an_uncertainty_nothing_is_widened() -> None:
    plain = limit("300", Bound.AT_LEAST, None)

    assert plain.judge(Decimal("299.9")).outcome is FAILS
    assert plain.text == "at least 300"
    assert plain.judge(Decimal(301)).source == "the plan"


@pytest.mark.parametrize(
    ("value", "simple", "guarded", "rejection"),
    [
        ("75", "conforms", "conforms", "conforms"),
        ("74.9", "conforms", "does_not_conform", "conforms"),
        ("71.9", "does_not_conform", "does_not_conform", "conforms"),
        ("69", "does_not_conform", "does_not_conform", "conforms"),
        ("68.9", "does_not_conform", "does_not_conform", "does_not_conform"),
    ],
)
def test_it_is_off_unless_the_plan_sets_it(
    value: str, simple: str, guarded: str, rejection: str
) -> None:
    """Shore D of 72 with U = 3, calculated."""
    for decision, outcome in (
        ("", simple),
        ("simple", simple),
        ("guarded", guarded),
        ("guarded_rejection", rejection),
    ):
        assert shore(value, decision=decision)["outcome"] == outcome, decision
    assert "guarded" not in str(shore(value)["findings"])


def test_it_needs_an_uncertainty() -> None:
    verdict = shore("99", decision="guarded_rejection", expanded_uncertainty="")

    assert verdict["outcome"] == "cannot_be_judged"
    assert verdict["findings"][-1]["rule"] == "hardness.decision"


def test_a_cure_is_then_reckoned_as_warm_as_the_uncertainty_allows() -> None:
    """Calculated: 10 h at 19 degC, taken as 20, are 200 degC h."""
    criteria = {
        "mode": "maturity",
        "datum": "0 degC",
        "age_min": "200 degC_hour",
        "expanded_uncertainty": "1 delta_degC",
    }
    log = [{"at": f"2026-05-01T{hour:02}:00Z", "temperature": "19 degC"} for hour in (6, 16)]

    def judged(**more: str) -> dict[str, Any]:
        return judge_case({"characteristic": "cure", "criteria": criteria | more, "readings": log})

    assert judged()["outcome"] == "incomplete"
    widened = judged(decision="guarded_rejection")
    assert widened["outcome"] == "conforms"
    assert widened["computed"]["maturity"] == "200 degC_hour"
    assert widened["flags"] == ["guarded rejection: reckoned 1 degC warmer than read"]


@pytest.mark.parametrize(
    "characteristic",
    [c for c in ALL if "decision" in {field.name for field in c.criteria}],
    ids=lambda c: c.key,
)
def test_every_decision_rule_is_offered_and_none_by_default(characteristic: Characteristic) -> None:
    (field,) = (f for f in characteristic.criteria if f.name == "decision")

    assert field.choices == ("simple", "guarded", "guarded_rejection")
    assert field.default is None


@given(
    st.sampled_from(Bound),
    st.decimals(-100, 100, places=2),
    st.decimals(-100, 100, places=2),
    st.decimals(0, 20, places=2),
)
def test_simple_acceptance_lies_between_guarded_acceptance_and_guarded_rejection(
    bound: Bound, asked: Decimal, value: Decimal, u: Decimal
) -> None:
    accepted = [
        Limit(
            rule="r",
            label="Value",
            value=Quantity(asked, "um"),
            bound=bound,
            decision=decision,
            uncertainty=u,
        )
        .judge(Quantity(value, "um"))
        .outcome
        is CONFORMS
        for decision in (Decision.GUARDED, Decision.SIMPLE, Decision.GUARDED_REJECTION)
    ]

    assert accepted == sorted(accepted)
