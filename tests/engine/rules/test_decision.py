"""Decision rules against their published and calculated figures."""

from decimal import Decimal
from fractions import Fraction

import pytest

from qc.engine.case import judge_case
from qc.engine.formulas.statistics import conformity_probability
from qc.engine.rules import Bound, Decision, Limit, Outcome

CONFORMS, FAILS = Outcome.CONFORMS, Outcome.DOES_NOT_CONFORM


def limit(value: str, bound: Bound, u: str, factor: str = "1", guarded: bool = True) -> Limit:
    return Limit(
        rule="r",
        label="Value",
        value=Decimal(value),
        bound=bound,
        decision=Decision.GUARDED if guarded else Decision.SIMPLE,
        uncertainty=Decimal(u),
        guard_factor=Decimal(factor),
        probability=True,
    )


@pytest.mark.parametrize(
    ("factor", "upper", "lower"), [("1", "10.8", "9.2"), ("0.83", "10.834", "9.166")]
)
def test_acceptance_limits_of_ten_plus_or_minus_one(factor: str, upper: str, lower: str) -> None:
    """10 +/- 1 with U = 0.2, published: 10.8 and 9.2 at U; at 0.83 U calculated."""
    assert limit("11", Bound.AT_MOST, "0.2", factor).acceptance == Fraction(upper)
    assert limit("9", Bound.AT_LEAST, "0.2", factor).acceptance == Fraction(lower)


@pytest.mark.parametrize(
    ("observed", "outcome"),
    [("0.0017", CONFORMS), ("0.0020", CONFORMS), ("0.0021", FAILS), ("0.0025", FAILS)],
)
def test_a_gauge_within_its_maximum_permissible_error(observed: str, outcome: Outcome) -> None:
    """MPE 0.003 mm, U = 0.001 mm, published: 0.0017 conforms, 0.0025 is in the guard band."""
    found = limit("0.003", Bound.AT_MOST, "0.001").judge(Decimal(observed))

    assert found.outcome is outcome
    assert ("inside the guard band" in found.statement) is (outcome is FAILS)


@pytest.mark.parametrize(
    ("factor", "published", "calculated"),
    [
        ("3", 1e-6, 9.9e-10),
        ("1.5", 0.0016, 0.00135),
        ("1", 0.025, 0.02275),
        ("0.83", 0.05, 0.0485),
        ("0", 0.5000001, 0.5),
    ],
)
def test_the_risk_of_false_acceptance_at_the_acceptance_limit(
    factor: str, published: float, calculated: float
) -> None:
    """ILAC-G8:09/2019, table of decision rules: below the published bound; 1 - Phi(2 r)."""
    inside = Fraction(factor) * Fraction("0.2")

    risk = 1 - conformity_probability(inside, Fraction("0.2"))

    assert risk < published
    assert abs(risk - calculated) < 0.005 * calculated


@pytest.mark.parametrize(
    ("observed", "chance"), [("10.8", 0.97725), ("10.9", 0.84134), ("11.0", 0.5)]
)
def test_the_probability_of_conformity_of_ten_plus_or_minus_one(
    observed: str, chance: float
) -> None:
    """JCGM 106, u = 0.1, calculated; the far limit adds nothing that shows."""
    inside = Fraction("11") - Fraction(observed)

    assert abs(conformity_probability(inside, Fraction("0.2")) - chance) < 5e-6


@pytest.mark.parametrize(
    ("asked", "u", "observed", "chance"),
    [
        ("300", "15", "310", "0.909"),
        ("300", "15", "315", "0.977"),
        ("300", "15", "316", "0.984"),
        ("300", "15", "295", "0.252"),
        ("72", "3", "72", "0.500"),
        ("72", "3", "74", "0.909"),
        ("72", "3", "75", "0.977"),
    ],
)
def test_the_stated_probability_above_a_lower_limit(
    asked: str, u: str, observed: str, chance: str
) -> None:
    """JCGM 106, calculated: a film of at least 300 um with U = 15, Shore D of 72 with U = 3."""
    found = limit(asked, Bound.AT_LEAST, u, guarded=False).judge(Decimal(observed))

    assert f"r: probability of conformity {chance}" in found.flags


@pytest.mark.parametrize(
    ("observed", "simple", "guarded", "third"),
    [
        ("316", CONFORMS, CONFORMS, None),
        ("315", CONFORMS, CONFORMS, "conditional pass"),
        ("314", CONFORMS, FAILS, "conditional pass"),
        ("300", CONFORMS, FAILS, "conditional pass"),
        ("299", FAILS, FAILS, "conditional fail"),
        ("285", FAILS, FAILS, "conditional fail"),
        ("284", FAILS, FAILS, None),
    ],
)
def test_simple_and_guarded_acceptance_and_the_third_answer(
    observed: str, simple: Outcome, guarded: Outcome, third: str | None
) -> None:
    """Lower limit 300, U = 15, calculated: acceptance limit 315."""
    for is_guarded, outcome in ((False, simple), (True, guarded)):
        found = limit("300", Bound.AT_LEAST, "15", guarded=is_guarded).judge(Decimal(observed))
        assert found.outcome is outcome
        conditional = [flag for flag in found.flags if "conditional" in flag]
        assert conditional == ([f"r: {third}"] if third else [])


@pytest.mark.parametrize(
    ("shore", "outcome"),
    [("75", "conforms"), ("74.9", "does_not_conform"), ("71.9", "does_not_conform")],
)
def test_a_guarded_hardness_is_judged_and_printed_as_guarded(shore: str, outcome: str) -> None:
    """Shore D of 72 with U = 3, calculated: acceptance limit 75, the bound included."""
    criteria = {
        "scale": "shore_d",
        "min": "72",
        "decision": "guarded",
        "expanded_uncertainty": "3",
    }

    verdict = judge_case(
        {"characteristic": "hardness", "criteria": criteria, "readings": [{"values": [shore]}]}
    )

    (found,) = [each for each in verdict["findings"] if each["rule"] == "hardness.min"]
    assert found["outcome"] == outcome
    assert found["limit"] == "at least 72, guarded by 3"
    off = judge_case(
        {
            "characteristic": "hardness",
            "criteria": {"scale": "shore_d", "min": "72"},
            "readings": [{"values": [shore]}],
        }
    )
    assert "guarded" not in str(off["findings"])


def test_a_guarded_decision_without_an_uncertainty_cannot_be_judged() -> None:
    criteria = {"scale": "shore_d", "min": "72", "decision": "guarded"}

    verdict = judge_case(
        {"characteristic": "hardness", "criteria": criteria, "readings": [{"values": ["99"]}]}
    )

    assert verdict["outcome"] == "cannot_be_judged"
