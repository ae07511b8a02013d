"""Cure by equivalent age and maturity, and logs with gaps."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

LOGGED = [(0, 18), (1, 18), (2, 16), (3, 14), (4, 12), (6, 10), (8, 10), (10, 12), (12, 16)]
AGE = {
    "mode": "equivalent_age",
    "activation_temperature": "5000 K",
    "reference": "20 degC",
    "age_min": "7 hour",
}
MATURITY = {"mode": "maturity", "datum": "0 degC", "age_min": "155 degC_hour"}
START = datetime(2026, 5, 1, 6, 0, tzinfo=UTC)


def judge(criteria: dict[str, Any], log: list[tuple[Any, Any]]) -> dict[str, Any]:
    readings = [
        {"at": (START + timedelta(hours=h)).isoformat(), "temperature": f"{c} degC"} for h, c in log
    ]
    return judge_case({"characteristic": "cure", "criteria": criteria, "readings": readings})


def outcomes(verdict: dict[str, Any]) -> dict[str, str]:
    return {found["rule"]: found["outcome"] for found in verdict["findings"]}


@pytest.mark.parametrize(
    ("reference", "age"), [("20 degC", "7.9563"), ("68 degF", "7.9563"), ("23 degC", "6.6939")]
)
def test_equivalent_age_of_the_logged_history(reference: str, age: str) -> None:
    """Calculated: interval mean, Q 5000 K."""
    verdict = judge(AGE | {"reference": reference}, LOGGED)

    number, unit = verdict["computed"]["equivalent_age"].split()
    assert (round(float(number), 4), unit) == (float(age), "hour")
    assert verdict["outcome"] == ("conforms" if float(age) > 7 else "incomplete")


@pytest.mark.parametrize(("datum", "maturity"), [("0 degC", "155"), ("-10 degC", "275")])
def test_maturity_of_the_logged_history(datum: str, maturity: str) -> None:
    """Calculated: Nurse-Saul, interval mean."""
    verdict = judge(MATURITY | {"datum": datum}, LOGGED)

    assert verdict["outcome"] == "conforms"
    assert verdict["computed"]["maturity"] == f"{maturity} degC_hour"


def test_the_finding_says_how_the_log_was_integrated() -> None:
    """A trapezoid on the rate, or a line cut off at the datum, comes to another figure."""
    by_mean = "by the mean temperature of each interval,"

    age, maturity = (judge(criteria, LOGGED)["findings"][0] for criteria in (AGE, MATURITY))

    assert age["statement"].startswith(f"Equivalent age, {by_mean} 7.956 h: 7 h reached.")
    assert maturity["statement"].startswith(f"Maturity, {by_mean} 155.000 °C·h: 155 °C·h reached.")


def test_maturity_on_its_least_value_is_complete_at_the_last_reading() -> None:
    verdict = judge(MATURITY, LOGGED)
    short = judge(MATURITY | {"age_min": "155.000001 degC_hour"}, LOGGED)

    assert verdict["computed"]["complete_at"] == "2026-05-01T18:00:00+00:00"
    assert short["outcome"] == "incomplete"


def test_maturity_may_be_asked_in_days_and_in_fahrenheit() -> None:
    """Notes on ASTM C1074: 28 d at 15 degC with a datum of -11 degC are 728 degC d."""
    four_weeks = [(0, 15), (28 * 24, 15)]
    in_days = MATURITY | {"datum": "-11 degC", "age_min": "728 degC_day"}
    in_fahrenheit = in_days | {"age_min": f"{728 * 24 * 9 // 5 + 1} degF_hour"}

    assert judge(in_days, four_weeks)["outcome"] == "conforms"
    assert judge(in_days | {"age_min": "728.1 degC_day"}, four_weeks)["outcome"] == "incomplete"
    assert judge(in_fahrenheit, four_weeks)["outcome"] == "incomplete"


def test_an_interval_whose_mean_is_below_the_datum_adds_nothing() -> None:
    """Calculated with the mean of each interval: 1200 degC h."""
    log = [(0, 20), (24, 20), (48, 10), (72, -5), (96, 30)]

    assert judge(MATURITY, log)["computed"]["maturity"] == "1200 degC_hour"
    assert judge(MATURITY, [(0, -5), (24, -5)])["computed"]["maturity"] == "0 degC_hour"


def test_below_a_datum_an_equivalent_age_does_not_grow() -> None:
    log = [(0, 20), (10, 20), (20, -30), (30, -30)]

    verdict = judge(AGE | {"datum": "0 degC", "age_min": "10 hour"}, log)

    assert verdict["computed"]["equivalent_age"] == "10 hour"
    assert verdict["outcome"] == "conforms"


def test_an_age_of_less_than_an_hour_may_be_asked() -> None:
    half = AGE | {"age_min": "0.5 hour"}

    assert judge(half, [(0, 20), (1, 20)])["computed"]["complete_at"] == "2026-05-01T06:30:00+00:00"


def test_hours_at_the_reference_count_exactly() -> None:
    criteria = AGE | {"age_min": "24 hour"}

    assert judge(criteria, [(0, 20), (24, 20)])["outcome"] == "conforms"
    short = judge(criteria, [(0, 20), (timedelta(seconds=86_399) / timedelta(hours=1), 20)])
    assert short["outcome"] == "incomplete"


def test_three_days_at_three_temperatures() -> None:
    """Calculated: 24 h each at 10, 20 and 30 degC, Q 5000 K: 79.27 h."""
    steps = [(0, 10), (24, 10), (24.000001, 20), (48, 20), (48.000001, 30), (72, 30)]

    age = judge(AGE, steps)["computed"]["equivalent_age"]

    assert round(float(age.split()[0]), 2) == 79.27


@pytest.mark.parametrize(
    ("celsius", "hours"), [(5, "60.21"), (10, "43.83"), (25, "18.03"), (40, "8.07")]
)
def test_the_forecast_holds_the_last_temperature(celsius: int, hours: str) -> None:
    """Calculated: time at a constant temperature for 24 h at 20 degC."""
    verdict = judge(AGE | {"age_min": "24 hour"}, [(0, celsius), (1, celsius)])

    forecast = datetime.fromisoformat(verdict["computed"]["forecast_at"])
    assert round((forecast - START) / timedelta(hours=1), 2) == float(hours)
    assert verdict["flags"] == ["forecast"]


def test_a_forecast_rounds_up_to_the_second_and_waits_for_the_slower_measure() -> None:
    both = {"table": {"20 degC": "1 hour"}, "datum": "0 degC", "age_min": "70 degC_hour"}

    verdict = judge(both, [(0, 20), (2, 20)])
    thirds = judge(MATURITY | {"age_min": "47 degC_hour"}, [(0, 18), (1, 18)])

    assert outcomes(verdict) == {"cure.fraction": "conforms", "cure.maturity": "incomplete"}
    assert verdict["computed"]["forecast_at"] == "2026-05-01T09:30:00+00:00"
    assert thirds["computed"]["forecast_at"] == "2026-05-01T08:36:40+00:00"
    odd = judge(MATURITY | {"age_min": "47 degC_hour"}, [(0, 17), (1, 17)])
    assert odd["computed"]["forecast_at"] == "2026-05-01T08:45:53+00:00"


def test_a_measure_that_is_done_holds_no_forecast_up() -> None:
    both = {"table": {"20 degC": "1 hour"}, "datum": "0 degC", "age_min": "50 degC_hour"}

    forecast = judge(both, [(0, 20), (2, 20)])["computed"]["forecast_at"]

    assert forecast == "2026-05-01T08:30:00+00:00"


def test_an_uncertainty_under_a_simple_decision_changes_no_reckoning() -> None:
    stated = MATURITY | {"expanded_uncertainty": "1 degC"}

    assert judge(stated, LOGGED)["computed"]["maturity"] == "155 degC_hour"
    assert judge(stated, LOGGED)["flags"] == []


def test_all_three_measures_are_computed_where_the_plan_gives_what_they_need() -> None:
    criteria = AGE | {"datum": "0 degC", "table": {"10 degC": "24 hour"}}

    computed = judge(criteria, LOGGED)["computed"]

    assert computed["fraction"] == "0.5"
    assert computed["maturity"] == "155 degC_hour"
    assert computed["equivalent_age"] == "7.956339 hour"


def test_readings_outside_a_table_that_does_not_decide_are_not_marked() -> None:
    criteria = MATURITY | {"table": {"60 degC": "1 hour"}}

    assert judge(criteria, LOGGED)["flags"] == []


def test_a_least_age_beside_a_table_is_judged_too_and_the_later_completes() -> None:
    table = {"table": {"20 degC": "10 hour"}}
    held = [(0, 20), (12, 20)]

    both = judge(table | {"datum": "0 degC", "age_min": "220 degC_hour"}, held)
    aged = judge(AGE | table | {"mode": "colder_row", "age_min": "13 hour"}, held)

    assert both["outcome"] == "conforms"
    assert both["computed"]["complete_at"] == "2026-05-01T17:00:00+00:00"
    assert both["flags"] == []
    hot = judge({"table": {"10 degC": "9 hour"}, "datum": "0 degC", "age_min": "9 degC_hour"}, held)
    assert hot["flags"] == ["hotter_than_table"]
    assert outcomes(aged) == {"cure.fraction": "conforms", "cure.equivalent_age": "incomplete"}


@pytest.mark.parametrize(
    ("criteria", "lacking"),
    [
        (AGE | {"activation_temperature": None}, "activation temperature"),
        (AGE | {"reference": None}, "reference temperature"),
        (AGE | {"age_min": None}, "least age"),
        (MATURITY | {"datum": None}, "datum"),
        (MATURITY | {"age_min": None}, "least age"),
    ],
)
def test_a_plan_that_lacks_an_input_cannot_be_judged(
    criteria: dict[str, Any], lacking: str
) -> None:
    verdict = judge(criteria, LOGGED)

    assert verdict["outcome"] == "cannot_be_judged"
    assert lacking in verdict["findings"][0]["statement"]
    assert verdict["computed"]["complete_at"] is None


@pytest.mark.parametrize(
    ("criteria", "field"),
    [
        (AGE | {"age_min": "155 degC_hour"}, "age_min"),
        (MATURITY | {"age_min": "24 hour"}, "age_min"),
        (AGE | {"age_min": "24 mm"}, "age_min"),
        (AGE | {"age_min": "0 hour"}, "age_min"),
        (AGE | {"age_min": "-1 hour"}, "age_min"),
        (AGE | {"activation_temperature": "5000 degC"}, "activation_temperature"),
        (AGE | {"activation_temperature": "0 K"}, "activation_temperature"),
        (AGE | {"activation_temperature": "50000 K"}, "activation_temperature"),
        (AGE | {"reference": "-300 degC"}, "reference"),
    ],
)
def test_criteria_without_sense_are_refused_by_name(criteria: dict[str, Any], field: str) -> None:
    with pytest.raises(InvalidValue, match=field):
        judge(criteria, LOGGED)


@pytest.mark.parametrize(
    ("gap_max", "outcome"), [("2 hour", "conforms"), ("119 min", "cannot_be_judged")]
)
def test_a_gap_longer_than_the_plan_allows_cannot_be_judged(gap_max: str, outcome: str) -> None:
    verdict = judge(MATURITY | {"gap_max": gap_max}, LOGGED)

    assert verdict["outcome"] == outcome
    assert outcomes(verdict)["cure.gap"] == outcome


def test_a_gap_is_told_with_its_length_and_its_beginning() -> None:
    gap = judge(MATURITY | {"gap_max": "1 hour"}, LOGGED)["findings"][1]

    assert gap["statement"] == (
        "No reading for 2.00 h after 2026-05-01 10:00:00+00:00; at most 1 hour."
    )


def test_progress_stops_at_a_gap_and_no_forecast_goes_past_it() -> None:
    verdict = judge(MATURITY | {"gap_max": "1 hour"}, LOGGED)

    assert verdict["computed"]["maturity"] == "63 degC_hour"
    assert verdict["computed"]["complete_at"] is None
    assert verdict["computed"]["forecast_at"] is None


def test_a_gap_after_completion_takes_nothing_back_but_is_marked() -> None:
    verdict = judge(MATURITY | {"gap_max": "1 hour", "age_min": "63 degC_hour"}, LOGGED)

    assert verdict["outcome"] == "conforms"
    assert verdict["computed"]["complete_at"] == "2026-05-01T10:00:00+00:00"
    assert verdict["flags"] == ["gap_after_completion"]


def test_a_gap_hides_no_reading_that_was_too_cold() -> None:
    criteria = MATURITY | {"gap_max": "1 hour", "temperature_min": "11 degC"}

    assert judge(criteria, LOGGED)["outcome"] == "does_not_conform"


def test_a_log_of_more_than_a_year_is_a_mistake() -> None:
    year = 366 * 24

    assert judge(MATURITY, [(0, 20), (year, 20)])["outcome"] == "conforms"
    longer = judge(MATURITY, [(0, 20), (year + 1, 20)])
    assert longer["outcome"] == "cannot_be_judged"
    assert "from 2026-05-01" in longer["findings"][0]["statement"]
    assert "to 2027-05-02" in longer["findings"][0]["statement"]


def test_the_extremes_that_are_taken_still_give_an_answer() -> None:
    extreme = AGE | {
        "activation_temperature": "20000 K",
        "reference": "0 degC",
        "age_min": "999999999999999.999999999999999 day",
    }

    hot = judge(extreme, [(0, 300), (8784, 300)])
    cold = judge(extreme, [(0, -60), (8784, -60)])

    assert (hot["outcome"], cold["outcome"]) == ("conforms", "incomplete")
    assert cold["computed"]["forecast_at"] is None
