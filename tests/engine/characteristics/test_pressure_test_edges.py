"""The pressure test: one hold in which everything goes wrong, and each finding of it whole."""

from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from tests.engine.characteristics.whole_verdicts import rows

SOURCES = {
    "design_pressure": "clause 1",
    "pressure_min": "clause 2",
    "pressure_max": "clause 3",
    "hold_min": "clause 4",
    "drop_max": "clause 5",
    "interval_max": "clause 6",
}
PLAN = {
    "design_pressure": "5 MPa",
    "pressure_min": "5.2 MPa",
    "pressure_max": "6 MPa",
    "hold_min": "2 hour",
    "drop_max": "0.1 MPa",
    "interval_max": "30 min",
    "medium": "gas",
}
RECORDED = (
    "common practice: pressure and temperature are recorded from start to end, and any leak rejects"
)
MEMORY = "common practice; ISO 24817 and ASME PCC-2, to be confirmed against the licensed text"


def at(time: str, pressure: str, **more: Any) -> dict[str, Any]:
    return {"at": f"2026-05-12T{time}Z", "pressure": pressure} | more


def warm(time: str, pressure: str, **more: Any) -> dict[str, Any]:
    return at(time, pressure, temperature="15 degC", leak=False) | more


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    return judge_case(
        {
            "characteristic": "pressure_test",
            "criteria": criteria,
            "sources": SOURCES,
            "readings": list(readings),
        }
    )


def said(verdict: dict[str, Any], rule: str) -> list[str]:
    wanted = f"pressure_test.{rule}"
    return [f["statement"] for f in verdict["findings"] if f["rule"] == wanted]


ALL_WRONG = (
    at("07:00", "2 MPa", phase="raising"),
    at("08:00", "5.6 MPa", leak=False),
    at("08:20", "5.45 MPa", temperature="15 degC"),
    at("08:40", "6.1 MPa", phase="raising"),
    at("09:10", "5.6 MPa", temperature="15 degC"),
    at("09:30", "5.5 MPa", temperature="15 degC"),
)


def test_each_rule_has_its_finding_with_limit_and_source() -> None:
    """Calculated: 1.1 x 5 MPa = 5.5 MPa; 08:00 to 09:30 is 1.5 h; 5.6 to 5.45 MPa is 0.15 MPa."""
    incomplete, fails = "incomplete", "does_not_conform"
    ends = "at the start and at the end of the hold"

    assert rows(judge(PLAN, *ALL_WRONG)) == [
        ("pressure_test.leak", incomplete, "", "none", RECORDED),
        ("pressure_test.pressure_max", fails, "6.10 MPa", "at most 6 MPa", "clause 3"),
        ("pressure_test.pressure_min", "conforms", "5.45 MPa", "at least 5.2 MPa", "clause 2"),
        (
            "pressure_test.design_pressure",
            fails,
            "5.45 MPa",
            "at least 5.5 MPa",
            f"clause 1; factor 1.1: {MEMORY}",
        ),
        ("pressure_test.hold", incomplete, "1.5 h", "at least 2 h", "clause 4"),
        ("pressure_test.drop", fails, "0.15 MPa", "at most 0.1 MPa", "clause 5"),
        ("pressure_test.interval", fails, "50.0 min", "at most 30 min", "clause 6"),
        ("pressure_test.temperature", incomplete, "", ends, RECORDED),
        ("pressure_test.hold", "cannot_be_judged", "", "", ""),
    ]


def test_each_finding_names_the_reading_it_is_about() -> None:
    verdict = judge(PLAN, *ALL_WRONG)

    assert said(verdict, "pressure_max")[0].startswith("Highest pressure, reading 4 at 08:40, 6.10")
    assert said(verdict, "pressure_min")[0].startswith(
        "Pressure, lowest of the hold, reading 3 at 08:20, 5.45"
    )
    assert said(verdict, "design_pressure")[0].startswith(
        "Pressure (1.1 times the design pressure 5 MPa), lowest of the hold, reading 3 at 08:20,"
    )
    assert "after reading 3 at 08:20, 50.0 min" in said(verdict, "interval")[0]
    assert said(verdict, "temperature") == ["No temperature is recorded at the start of the hold."]
    assert said(verdict, "hold")[1].endswith("reading 4 at 08:40.")


def test_what_is_computed_and_flagged() -> None:
    verdict = judge(PLAN, *ALL_WRONG)

    assert verdict["computed"] == {
        "hold": "90 min",
        "required": "5.5 MPa",
        "lowest": "5.45 MPa",
        "highest": "6.1 MPa",
        "drop": "0.15 MPa",
    }
    assert [flag.split(":")[0] for flag in verdict["flags"]] == [
        "pressure_test.code",
        "pressure_test.gas",
    ]


def test_before_any_hold_nothing_of_it_is_computed_and_leaks_are_named() -> None:
    verdict = judge(
        {},
        at("07:00", "2 MPa", phase="raising", leak=True, remark="at the flange"),
        at("07:10", "2.1 MPa", phase="raising", leak=True),
    )

    assert rows(verdict) == [
        ("pressure_test.pressure_min", "cannot_be_judged", "", "", ""),
        ("pressure_test.leak", "does_not_conform", "leak", "none", RECORDED),
        ("pressure_test.hold", "incomplete", "0", "", ""),
    ]
    assert said(verdict, "leak") == [
        "Leak seen, reading 1 at 07:00, reading 2 at 07:10: at the flange."
    ]
    assert verdict["computed"] == {
        "hold": None,
        "required": None,
        "lowest": None,
        "highest": "2.1 MPa",
        "drop": None,
    }
    assert len(verdict["flags"]) == 1


def test_a_factor_of_the_plan_needs_no_other_source() -> None:
    """Calculated: 1.25 x 100 psi."""
    readings = (warm("07:00", "125 psi"), warm("08:00", "125 psi"))

    verdict = judge({"design_pressure": "100 psi", "factor": "1.25"}, *readings)

    assert rows(verdict) == [
        ("pressure_test.leak", "conforms", "none", "none", RECORDED),
        (
            "pressure_test.design_pressure",
            "conforms",
            "125.00 psi",
            "at least 125 psi",
            "clause 1",
        ),
        ("pressure_test.hold", "conforms", "60.0 min", "at least 60 min", MEMORY),
    ]
    assert said(verdict, "leak") == ["No leak was seen at the end of the hold."]


def test_a_hold_may_not_yet_be_long_enough_and_both_ends_lack_a_temperature() -> None:
    readings = (at("07:00", "110 psi", leak=False), at("07:59", "110 psi", leak=False))

    verdict = judge({"design_pressure": "100 psi"}, *readings)

    assert [row[:4] for row in rows(verdict)[2:]] == [
        ("pressure_test.hold", "incomplete", "59.0 min", "at least 60 min"),
        (
            "pressure_test.temperature",
            "incomplete",
            "",
            "at the start and at the end of the hold",
        ),
    ]
    assert said(verdict, "temperature") == [
        "No temperature is recorded at the start and the end of the hold."
    ]


@pytest.mark.parametrize(
    ("time", "phase", "interrupted"),
    [
        ("06:59", "raising", False),
        ("07:00", "raising", False),
        ("07:30", "raising", True),
        ("07:30", "lowering", True),
        ("07:30", "hold", False),
        ("08:00", "lowering", False),
        ("08:01", "lowering", False),
    ],
)
def test_only_what_happens_within_the_hold_interrupts_it(
    time: str, phase: str, interrupted: bool
) -> None:
    held = (warm("07:00", "6 MPa"), warm("08:00", "6 MPa"))

    verdict = judge({"pressure_min": "5 MPa"}, *held, warm(time, "6 MPa", phase=phase))

    assert bool(said(verdict, "hold")[1:]) is interrupted


@pytest.mark.parametrize(
    ("pressures", "drop"),
    [
        (("6 MPa", "5.9 MPa", "6.2 MPa", "6.05 MPa"), "0.15 MPa"),
        (("6 MPa", "5.7 MPa", "6.2 MPa", "6.1 MPa"), "0.3 MPa"),
        (("6 MPa", "6.1 MPa", "6.2 MPa", "6.3 MPa"), "0 MPa"),
        (("6 MPa", "5.9 MPa", "5.8 MPa", "5.7 MPa"), "0.3 MPa"),
    ],
)
def test_the_drop_is_the_greatest_fall_from_any_reading_to_a_later_one(
    pressures: tuple[str, ...], drop: str
) -> None:
    readings = [warm(f"07:{10 * i:02}", pressure) for i, pressure in enumerate(pressures)]

    verdict = judge({"pressure_min": "5 MPa"}, *readings)

    assert verdict["computed"]["drop"] == drop
    assert not said(verdict, "drop")


def test_a_single_reading_has_no_interval() -> None:
    verdict = judge({"pressure_min": "5 MPa", "interval_max": "1 min"}, warm("07:00", "6 MPa"))

    assert not said(verdict, "interval")
    assert verdict["computed"]["hold"] == "0 min"


def test_the_end_of_the_hold_says_whether_it_leaks_whatever_was_seen_before() -> None:
    start, end = warm("07:00", "6 MPa"), at("08:00", "6 MPa", temperature="15 degC")

    verdict = judge({"pressure_min": "5 MPa"}, start, end)

    assert rows(verdict)[0][:3] == ("pressure_test.leak", "incomplete", "")
    assert said(verdict, "leak") == ["Whether anything leaks at the end of the hold is not stated."]


@pytest.mark.parametrize(
    ("criteria", "refusal"),
    [
        (
            {"factor": "1.5", "pressure_min": "5 MPa"},
            "criteria.factor: multiplies design_pressure, which is not given",
        ),
        (
            {"design_pressure": "5 MPa", "pressure_max": "5.49 MPa"},
            "criteria.design_pressure: the test pressure, 5.5 MPa, is above pressure_max, 5.49 MPa",
        ),
    ],
)
def test_a_plan_that_makes_no_sense_is_refused_by_field(
    criteria: dict[str, Any], refusal: str
) -> None:
    with pytest.raises(InvalidValue) as refused:
        judge(criteria, warm("07:00", "6 MPa"))

    assert str(refused.value) == refusal


def test_a_test_pressure_at_the_highest_allowed_is_taken() -> None:
    plan = {"design_pressure": "5 MPa", "pressure_max": "5.5 MPa"}

    verdict = judge(plan, warm("07:00", "5.5 MPa"), warm("08:00", "5.5 MPa"))

    assert verdict["outcome"] == "conforms"
