"""Verdicts: the worst finding decides, and nothing judged is no pass."""

from itertools import product

import pytest

from qc.engine import ENGINE
from qc.engine.rules import (
    Assessment,
    Finding,
    Outcome,
    Verdict,
    cannot_be_judged,
    enough_readings,
    worst,
)

ORDER = [
    Outcome.DOES_NOT_CONFORM,
    Outcome.CANNOT_BE_JUDGED,
    Outcome.INCOMPLETE,
    Outcome.CONFORMS,
]


def finding(outcome: Outcome, *flags: str) -> Finding:
    return Finding(rule="r", outcome=outcome, statement="Said.", flags=flags)


def test_the_worst_outcome_decides_in_any_order() -> None:
    for first, second in product(ORDER, ORDER):
        expected = ORDER[min(ORDER.index(first), ORDER.index(second))]
        assert worst([first, second]) is expected
        assert (
            Verdict.of(Assessment(findings=(finding(first), finding(second)))).outcome is expected
        )


def test_nothing_judged_cannot_be_judged() -> None:
    assert worst([]) is Outcome.CANNOT_BE_JUDGED
    assert Verdict.of(Assessment(findings=())).outcome is Outcome.CANNOT_BE_JUDGED


def test_flags_are_gathered_once_each_in_order() -> None:
    found = (finding(Outcome.CONFORMS, "b", "c"), finding(Outcome.CONFORMS, "c", "a"))

    assert Verdict.of(Assessment(findings=found, flags=("a", "b"))).flags == ("a", "b", "c")


def test_a_verdict_is_given_in_the_case_format() -> None:
    found = Finding(
        rule="ambient.margin",
        outcome=Outcome.CONFORMS,
        statement="Met.",
        observed="4 °C",
        limit="at least 3 °C",
        source="the plan",
        flags=("f",),
    )

    verdict = Verdict.of(Assessment(findings=(found,), computed={"margin": ["4 delta_degC"]}))

    assert verdict.as_case() == {
        "outcome": "conforms",
        "findings": [
            {
                "rule": "ambient.margin",
                "outcome": "conforms",
                "observed": "4 °C",
                "limit": "at least 3 °C",
                "statement": "Met.",
                "source": "the plan",
            }
        ],
        "computed": {"margin": ["4 delta_degC"]},
        "flags": ["f"],
        "engine": ENGINE,
    }


def test_an_input_that_is_missing_or_impossible_cannot_be_judged() -> None:
    found = cannot_be_judged("ambient.margin", "No steel temperature.", "the plan")

    assert (found.outcome, found.source) == (Outcome.CANNOT_BE_JUDGED, "the plan")


@pytest.mark.parametrize(
    ("count", "outcome"),
    [
        (0, Outcome.INCOMPLETE),
        (2, Outcome.INCOMPLETE),
        (3, Outcome.CONFORMS),
        (4, Outcome.CONFORMS),
    ],
)
def test_fewer_readings_than_required_are_incomplete(count: int, outcome: Outcome) -> None:
    found = enough_readings("r", count, 3, "spot")

    assert found.outcome is outcome
    assert (found.observed, found.limit) == (str(count), "at least 3")
    assert "spots" in found.statement
    assert ("more" in found.statement) is (count < 3)
