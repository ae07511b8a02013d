"""What was computed, in words: plain numbers, and limits of one among several kinds."""

from typing import Any
from zoneinfo import ZoneInfo

from qc.engine.case import judge_case
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.wording import results_of

SITE = ZoneInfo("Europe/Dublin")


def results(key: str, criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, str]:
    verdict = judge_case({"characteristic": key, "criteria": criteria, "readings": list(readings)})
    found = results_of(CHARACTERISTICS[key], verdict, criteria, units="metric", zone=SITE)
    return {str(label): str(text) for label, text in found}


def test_a_plain_number_is_rounded_but_never_to_its_limit() -> None:
    """Calculated: 0.9 x 84 = 75.6; the mean of 75.5, 75.6 and 75.69 is 75.596667."""
    found = results(
        "hardness",
        {"scale": "shore_d", "qualified_min": "84"},
        {"values": ["75.5", "75.6", "75.69"]},
    )

    assert (found["Mean"], found["Limit"]) == ("75.597", "75.6")


def test_a_pressure_never_prints_as_the_limit_that_the_rule_derived() -> None:
    """Calculated: 1.1 x 5 MPa = 5.5 MPa."""
    held = {"temperature": "15 degC", "leak": False}

    found = results(
        "pressure_test",
        {"design_pressure": "5 MPa"},
        {"at": "2026-05-12T08:00Z", "pressure": "5.4999 MPa", **held},
        {"at": "2026-05-12T09:00Z", "pressure": "5.6 MPa", **held},
    )

    assert "5.4999 MPa" in found.values()
