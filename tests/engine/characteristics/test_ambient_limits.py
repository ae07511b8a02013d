"""Ambient: the limits of published specifications, each on the limit and beyond it."""

from typing import Any

import pytest

from qc.engine.case import judge_case

MARGIN = {"margin_min": "3 degC"}


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "ambient", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


def air(temperature: str, humidity: str, steel: str, **more: Any) -> dict[str, Any]:
    return {"air": temperature, "humidity": humidity, "steel": [steel], **more}


def degrees(text: str) -> float:
    return float(text.split()[0])


@pytest.mark.parametrize(
    ("reading", "margin", "outcome"),
    [
        (air("25 degC", "80 %", "24.3 degC"), 2.9907, "does_not_conform"),
        (air("25 degC", "80 %", "24.4 degC"), 3.0907, "conforms"),
        (air("20 degC", "85 %", "20 degC"), 2.5973, "does_not_conform"),
        (air("10 degC", "60 %", "5.6 degC"), 2.9988, "conforms"),
        (air("30 degC", "85 %", "31 degC"), 3.8015, "conforms"),
        (air("16 degC", "71 %", "13 degC"), 2.25, "does_not_conform"),
    ],
)
def test_margins_are_those_of_the_industrial_formulation_to_two_hundredths(
    reading: dict[str, Any], margin: float, outcome: str
) -> None:
    """Calculated by IAPWS-IF97, the last from a paint guide. At 10 degC and 60 % the outcome
    hangs on the formula: 2.9988 there, 3.0002 by Hyland-Wexler and 3.016 by WMO-No. 8."""
    verdict = judge(MARGIN, reading)

    assert degrees(verdict["computed"]["margin"][0]) == pytest.approx(margin, abs=0.02)
    assert verdict["outcome"] == outcome
    assert ("on_the_limit" in verdict["flags"]) is (abs(margin - 3) < 0.05)


def test_hyland_wexler_passes_the_boundary_by_two_ten_thousandths() -> None:
    """Calculated: 3.0002 at 10 degC, 60 %, steel 5.6 degC."""
    criteria = MARGIN | {"formula": "hyland_wexler"}

    verdict = judge(criteria, air("10 degC", "60 %", "5.6 degC"))

    assert degrees(verdict["computed"]["margin"][0]) == pytest.approx(3.0002, abs=6e-5)
    assert verdict["outcome"] == "conforms"
    assert verdict["findings"][0]["observed"] == "3.0002 °C"


@pytest.mark.parametrize(
    ("steel", "printed", "formula"), [("62 degF", 5, 4.3), ("62.7 degF", 5, 5.0)]
)
def test_a_printed_chart_says_go_where_the_formula_says_wait(
    steel: str, printed: float, formula: float
) -> None:
    """A published dew point chart: 70 degF, 65 %, dew point 57, so paint from 62 degF upwards;
    the dew point is 57.7 degF (calculated)."""
    verdict = judge({"margin_min": f"{printed} delta_degF"}, air("70 degF", "65 %", steel))

    assert degrees(verdict["findings"][0]["observed"]) == pytest.approx(formula, abs=0.05)
    assert (verdict["outcome"] == "conforms") is (steel == "62.7 degF")


@pytest.mark.parametrize(
    ("criteria", "on", "beyond"),
    [
        # IMO guideline 3.3: not below 3 degC above the dew point, not above 85 %.
        (MARGIN, air("20 degC", "100 %", "23 degC"), air("20 degC", "100 %", "22.99 degC")),
        (
            {"humidity_max": "85 %"},
            air("20 degC", "85 %", "25 degC"),
            air("20 degC", "85.01 %", "25 degC"),
        ),
        # Makers' pages: 75 to 85 %.
        (
            {"humidity_max": "75 %"},
            air("20 degC", "75 %", "25 degC"),
            air("20 degC", "75.01 %", "25 degC"),
        ),
        # MIL-HDBK-1110: 5 degF.
        (
            {"margin_min": "5 degF"},
            air("68 degF", "100 %", "73 degF"),
            air("68 degF", "100 %", "72.99 degF"),
        ),
        # A marine guide: epoxies are slow or stop below 5 degC; a paint guide: 10 to 35 degC.
        (
            {"steel_min": "5 degC"},
            air("10 degC", "50 %", "5 degC"),
            air("10 degC", "50 %", "4.99 degC"),
        ),
        (
            {"air_min": "10 degC", "air_max": "35 degC"},
            air("35 degC", "20 %", "30 degC"),
            air("35.01 degC", "20 %", "30 degC"),
        ),
        # From memory: steel at most 52 degC, 125 degF.
        (
            {"steel_max": "125 degF"},
            air("95 degF", "20 %", "125 degF"),
            air("95 degF", "20 %", "125.01 degF"),
        ),
    ],
)
def test_a_published_limit_conforms_and_a_hundredth_beyond_does_not(
    criteria: dict[str, Any], on: dict[str, Any], beyond: dict[str, Any]
) -> None:
    assert judge(criteria, on)["outcome"] == "conforms"
    assert judge(criteria, beyond)["outcome"] == "does_not_conform"


@pytest.mark.parametrize(
    ("steel", "rising", "outcome"),
    [
        ("75 degF", True, "conforms"),
        ("75 degF", False, "does_not_conform"),
        ("72.9 degF", True, "does_not_conform"),
        ("75 degF", None, "incomplete"),
    ],
)
def test_five_degrees_fahrenheit_and_rising_are_two_demands(
    steel: str, rising: bool | None, outcome: str
) -> None:
    """MIL-HDBK-1110: steel 5 degF above the dew point and rising; the dew point is 68 degF."""
    criteria = {"margin_min": "5 degF", "rising_required": True}

    reading = air("68 degF", "100 %", steel, rising=rising)

    assert judge(criteria, reading)["outcome"] == outcome


def test_three_readings_a_day_may_be_asked_for() -> None:
    """A published municipal specification: at least 3 a day."""
    reading = air("20 degC", "50 %", "20 degC")

    assert judge(MARGIN | {"readings_min": 3}, *[reading] * 3)["outcome"] == "conforms"
    assert judge(MARGIN | {"readings_min": 3}, *[reading] * 2)["outcome"] == "incomplete"


@pytest.mark.parametrize(
    ("humidity", "steel", "flagged"),
    [
        ("100 %", "20 degC", True),
        ("100 %", "20.01 degC", False),
        ("80 %", "16.4 degC", True),
        ("80 %", "16.5 degC", False),
    ],
)
def test_steel_no_warmer_than_the_dew_point_may_be_wet(
    humidity: str, steel: str, flagged: bool
) -> None:
    """IMO guideline 3.3: not where the steel may be wet; dew point of 20 degC and 80 % is 16.44.
    A plan without a margin still does not judge it: it is told."""
    verdict = judge({"air_max": "35 degC"}, air("20 degC", humidity, steel))

    assert ("condensation_possible" in verdict["flags"]) is flagged
    assert verdict["outcome"] == "conforms"
    assert judge(MARGIN, air("20 degC", humidity, steel))["outcome"] == "does_not_conform"


def test_frost_may_form_where_dew_would_not() -> None:
    """Calculated by Sonntag 1994: -5 degC, 85 %: dew point -7.13, frost point -6.32."""
    reading = air("-5 degC", "85 %", "-6.8 degC")

    assert "condensation_possible" in judge(MARGIN, reading)["flags"]
    by_dew = judge(MARGIN | {"below_zero": "dew_point"}, reading)
    assert "condensation_possible" not in by_dew["flags"]


@pytest.mark.parametrize(
    ("dry", "humidity", "dew", "frost"),
    [
        (5, 60, -2.11, -1.87),
        (3, 75, -0.99, -0.87),
        (-5, 85, -7.13, -6.32),
        (-10, 80, -12.79, -11.41),
    ],
)
@pytest.mark.parametrize("formula", ["wmo2008", "hyland_wexler"])
def test_the_frost_point_decides_below_zero_by_either_formula(
    formula: str, dry: int, humidity: int, dew: float, frost: float
) -> None:
    """Calculated by Sonntag 1994 over water and over ice; 3 K above the frost point."""
    criteria = MARGIN | {"formula": formula}

    def outcome(steel: float) -> str:
        found = judge(criteria, air(f"{dry} degC", f"{humidity} %", f"{steel:.2f} degC"))
        return str(found["outcome"])

    assert frost > dew
    assert outcome(frost + 3.04) == "conforms"
    assert outcome(frost + 2.96) == "does_not_conform"


def test_each_reading_is_told_what_it_lacks_itself() -> None:
    whole = {"air": "20 degC", "wet_bulb": "15 degC", "pressure": "1013 hPa", "steel": "20 degC"}
    without = [{n: v for n, v in whole.items() if n != name} for name in ("pressure", "air")]
    criteria = {"margin_min": "3 delta_degC"}

    verdict = judge(criteria, whole, without[0], without[1], without[0])

    lacking = [f["statement"] for f in verdict["findings"] if f["statement"].startswith("Reading")]
    assert [said.split(":")[0] for said in lacking] == ["Reading 2, 4", "Reading 3"]
    assert "pressure" in lacking[0]
    assert "air temperature" in lacking[1]
