"""Cure by table: fractions of the tabulated time, exact to the second."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

# Published cure chart of a two-part epoxy, to Shore D 65.
CHART = {
    "4 degC": "96 hour",
    "10 degC": "75 hour",
    "16 degC": "20 hour",
    "21 degC": "8 hour",
    "27 degC": "4.75 hour",
    "32 degC": "170 min",
    "38 degC": "2 hour",
    "43 degC": "100 min",
}


def judge(criteria: dict[str, Any], *log: tuple[str, str]) -> dict[str, Any]:
    readings = [{"at": at(time), "temperature": temperature} for time, temperature in log]
    return judge_case({"characteristic": "cure", "criteria": criteria, "readings": readings})


def at(time: str) -> str:
    """ "2 13:59" is the second day."""
    day, _, clock = time.rpartition(" ")
    return f"2026-05-{int(day or 1):02}T{clock}+01:00"


def outcomes(verdict: dict[str, Any]) -> dict[str, str]:
    return {found["rule"]: found["outcome"] for found in verdict["findings"]}


def test_a_cure_is_complete_when_its_fractions_make_one() -> None:
    """Calculated on the chart: 10 h of 20 h at 16 degC and 4 h of 8 h at 21 degC."""
    verdict = judge(
        {"table": CHART}, ("06:00", "16 degC"), ("16:00", "21 degC"), ("20:00", "21 degC")
    )

    assert verdict["outcome"] == "conforms"
    assert verdict["computed"]["fraction"] == "1"
    assert verdict["computed"]["complete_at"] == "2026-05-01T20:00:00+01:00"
    assert verdict["computed"]["forecast_at"] is None
    assert verdict["flags"] == []


def test_36_seconds_short_is_not_cured() -> None:
    """Calculated on the chart: 3.99 h instead of 4 h makes 0.999."""
    verdict = judge(
        {"table": CHART}, ("06:00", "16 degC"), ("16:00", "21 degC"), ("19:59:24", "21 degC")
    )

    assert verdict["outcome"] == "incomplete"
    assert verdict["computed"]["fraction"] == "0.99875"
    assert verdict["computed"]["complete_at"] is None
    assert verdict["computed"]["forecast_at"] == "2026-05-01T20:00:00+01:00"
    assert verdict["flags"] == ["forecast"]
    assert "forecast" in verdict["findings"][0]["statement"]


def test_a_fraction_just_short_never_prints_as_one() -> None:
    table = {"20 degC": "366 day"}

    verdict = judge({"table": table}, ("00:00:00", "20 degC"), ("00:00:01", "20 degC"))
    nearly = judge_case(
        {
            "characteristic": "cure",
            "criteria": {"table": table},
            "readings": [
                {"at": "2026-01-01T00:00Z", "temperature": "20 degC"},
                {"at": "2027-01-01T23:59:59Z", "temperature": "20 degC"},
            ],
        }
    )

    assert verdict["outcome"] == nearly["outcome"] == "incomplete"
    assert nearly["computed"]["fraction"].startswith("0.9999999")
    assert nearly["findings"][0]["observed"].startswith("0.9999999")


@pytest.mark.parametrize(
    ("mode", "at_24", "at_18"),
    [(None, "8", "20"), ("log", "6.164", "13.86"), ("arrhenius", "6.148", "13.81")],
)
def test_the_mode_says_how_to_read_between_the_rows(
    mode: str | None, at_24: str, at_18: str
) -> None:
    """Calculated on the chart at 24 and 18 degC."""
    for celsius, hours in (("24 degC", at_24), ("18 degC", at_18)):
        verdict = judge({"table": CHART, "mode": mode}, ("1 00:00", celsius), ("2 00:00", celsius))
        needed = 24 / float(verdict["computed"]["fraction"])

        assert round(needed, len(hours.partition(".")[2])) == float(hours)


def test_the_colder_end_of_an_interval_counts_in_the_colder_row() -> None:
    verdict = judge({"table": CHART}, ("06:00", "27 degC"), ("14:00", "21 degC"))

    assert verdict["computed"]["fraction"] == "1"


def test_the_mean_of_an_interval_counts_between_rows() -> None:
    criteria = {"table": {"10 degC": "10 hour", "20 degC": "5 hour"}, "mode": "log"}

    verdict = judge(criteria, ("06:00", "20 degC"), ("11:00", "0 degC"), ("16:00", "20 degC"))

    assert verdict["computed"]["fraction"] == "1"


@pytest.mark.parametrize("mode", ["colder_row", "log", "arrhenius"])
def test_colder_than_the_table_adds_nothing_and_is_marked(mode: str) -> None:
    criteria = {"table": CHART, "mode": mode}

    verdict = judge(criteria, ("1 06:00", "3.9 degC"), ("9 06:00", "3.9 degC"))

    assert verdict["outcome"] == "incomplete"
    assert verdict["computed"]["fraction"] == "0"
    assert verdict["computed"]["forecast_at"] is None
    assert verdict["flags"] == ["colder_than_table"]


@pytest.mark.parametrize("mode", ["colder_row", "log", "arrhenius"])
def test_hotter_than_the_table_counts_as_its_hottest_row(mode: str) -> None:
    criteria = {"table": CHART, "mode": mode}

    verdict = judge(criteria, ("06:00", "80 degC"), ("07:40", "80 degC"))

    assert verdict["computed"]["fraction"] == "1"
    assert verdict["flags"] == ["hotter_than_table"]


@pytest.mark.parametrize(
    ("log", "flags"),
    [
        ([("06:00", "4 degC"), ("07:00", "43 degC")], ["forecast"]),
        (
            [("06:00", "21 degC"), ("06:10", "21 degC"), ("06:20", "3 degC"), ("06:30", "21 degC")],
            ["colder_than_table", "forecast"],
        ),
        (
            [("06:00", "21 degC"), ("06:10", "44 degC"), ("06:20", "21 degC")],
            ["hotter_than_table", "forecast"],
        ),
        (
            [("06:00", "21 degC"), ("06:10", "21 degC"), ("06:20", "44 degC")],
            ["hotter_than_table", "forecast"],
        ),
    ],
)
def test_one_reading_outside_the_table_is_marked(
    log: list[tuple[str, str]], flags: list[str]
) -> None:
    assert judge({"table": CHART}, *log)["flags"] == flags


def test_the_statement_says_how_far_the_cure_is_and_when_it_is_complete() -> None:
    half = judge({"table": CHART}, ("06:00", "16 degC"), ("07:00", "21 degC"), ("11:00", "21 degC"))
    whole = judge({"table": CHART}, ("06:00", "21 degC"), ("16:00", "21 degC"))
    never = judge({"table": CHART}, ("06:00", "1 degC"), ("16:00", "1 degC"))

    assert half["findings"][0]["statement"] == (
        "Fraction of the cure time 0.550: 1 not reached yet. "
        "If 21 °C holds, complete at 2026-05-01 14:36 UTC+01:00 (forecast)."
    )
    assert whole["findings"][0]["statement"] == (
        "Fraction of the cure time 1.250: 1 reached. Complete at 2026-05-01 14:00 UTC+01:00."
    )
    assert never["findings"][0]["statement"] == (
        "Fraction of the cure time 0.000: 1 not reached yet."
    )


def test_completion_lies_within_an_interval_and_rounds_up_to_the_second() -> None:
    verdict = judge({"table": {"20 degC": "100 min"}}, ("06:00", "20 degC"), ("09:00", "20 degC"))
    odd = judge(
        {"table": {"10 degC": "7 hour", "20 degC": "3 hour"}},
        ("06:00", "10 degC"),
        ("07:00", "20 degC"),
        ("12:00", "20 degC"),
    )

    assert verdict["computed"]["complete_at"] == "2026-05-01T07:40:00+01:00"
    assert odd["computed"]["complete_at"] == "2026-05-01T09:34:18+01:00"


def test_rows_of_one_time_and_short_or_long_times_are_accepted() -> None:
    log = [("06:00", "15 degC"), ("07:00", "15 degC")]

    for time, fraction in (("0.5 hour", "2"), ("1 s", "3600"), ("366 day", "0.000114")):
        table = {"10 degC": time, "20 degC": time}
        assert judge({"table": table}, *log)["computed"]["fraction"] == fraction


def test_the_order_of_readings_does_not_matter() -> None:
    log = [("06:00", "16 degC"), ("16:00", "21 degC"), ("20:00", "21 degC")]

    assert judge({"table": CHART}, *log) == judge({"table": CHART}, log[2], log[0], log[1])


def test_a_reading_sent_twice_counts_once() -> None:
    log = [("06:00", "16 degC"), ("16:00", "69.8 degF"), ("16:00", "21 degC"), ("20:00", "21 degC")]

    assert judge({"table": CHART}, *log)["computed"]["fraction"] == "1"


def test_two_temperatures_at_one_moment_cannot_be_judged() -> None:
    verdict = judge(
        {"table": CHART}, ("06:00", "16 degC"), ("16:00", "16 degC"), ("16:00", "21 degC")
    )

    assert verdict["outcome"] == "cannot_be_judged"
    assert outcomes(verdict) == {"cure.times": "cannot_be_judged"}


@pytest.mark.parametrize("log", [[], [("06:00", "21 degC")], [("06:00", "21 degC")] * 2])
def test_fewer_than_two_readings_are_incomplete(log: list[tuple[str, str]]) -> None:
    verdict = judge({"table": CHART}, *log)

    assert verdict["outcome"] == "incomplete"
    assert verdict["findings"][0]["limit"] == f"at least {2 if log else 1}"


def test_a_plan_without_a_table_cannot_be_judged() -> None:
    verdict = judge({}, ("06:00", "21 degC"), ("16:00", "21 degC"))

    assert verdict["outcome"] == "cannot_be_judged"
    assert "table" in verdict["findings"][0]["statement"]


@pytest.mark.parametrize(
    ("coldest", "outcome"),
    [("9.9 degC", "does_not_conform"), ("10 degC", "conforms"), ("50 degF", "conforms")],
)
def test_one_reading_too_cold_fails_the_cure(coldest: str, outcome: str) -> None:
    criteria = {"table": CHART, "temperature_min": "10 degC"}

    verdict = judge(criteria, ("1 06:00", "27 degC"), ("3 06:00", coldest), ("9 06:00", "27 degC"))

    assert verdict["outcome"] == outcome
    assert verdict["computed"]["complete_at"]


def test_one_reading_too_hot_fails_the_cure() -> None:
    criteria = {"table": CHART, "temperature_max": "40 degC"}

    log = [("06:00", "40 degC"), ("09:00", "40.1 degC")]

    assert outcomes(judge(criteria, *log))["cure.temperature_max"] == "does_not_conform"


def test_too_cold_a_single_reading_fails_before_the_log_is_long_enough() -> None:
    criteria = {"table": CHART, "temperature_min": "10 degC"}

    assert judge(criteria, ("06:00", "5 degC"))["outcome"] == "does_not_conform"


def test_a_guarded_decision_reckons_the_cure_colder_than_it_was_read() -> None:
    guarded = {"table": CHART, "decision": "guarded", "expanded_uncertainty": "1 degC"}
    log = [("06:00", "21.9 degC"), ("14:00", "21.9 degC")]

    verdict = judge(guarded, *log)

    assert judge({"table": CHART}, *log)["outcome"] == "conforms"
    assert verdict["outcome"] == "incomplete"
    assert verdict["computed"]["fraction"] == "0.4"
    assert "guarded: reckoned 1 degC colder than read" in verdict["flags"]


def test_the_guard_factor_scales_the_guard() -> None:
    guarded = {"decision": "guarded", "expanded_uncertainty": "2 degC", "guard_factor": "0.5"}

    verdict = judge({"table": CHART} | guarded, ("06:00", "22 degC"), ("14:00", "22 degC"))

    assert verdict["outcome"] == "conforms"
    assert "guarded: reckoned 1 degC colder than read" in verdict["flags"]


def test_a_guarded_decision_guards_the_least_temperature_in_its_own_degrees() -> None:
    guarded = {
        "table": CHART,
        "temperature_min": "50 degF",
        "decision": "guarded",
        "expanded_uncertainty": "1 degC",
    }

    for lowest, outcome in (("51.8 degF", "conforms"), ("51.7 degF", "does_not_conform")):
        log = [("1 06:00", lowest), ("9 06:00", "27 degC")]
        assert outcomes(judge(guarded, *log))["cure.temperature_min"] == outcome


@pytest.mark.parametrize(
    ("criteria", "field"),
    [
        ({"table": {"20 degC": "0 hour"}}, "table"),
        ({"table": {"20 degC": "367 day"}}, "table"),
        ({"table": {"10 degC": "8 hour", "20 degC": "9 hour"}}, "table"),
        ({"table": {"10 degC": "8 mm"}}, "table"),
        ({"table": {"10 mm": "8 hour"}}, "table"),
        ({"table": {"20 degC": "8 hour", "68 degF": "8 hour"}}, "table"),
        ({"mode": "by feel"}, "mode"),
        ({"temperature_min": "30 degC", "temperature_max": "20 degC"}, "temperature_min"),
        ({"gap_max": "-1 hour"}, "gap_max"),
    ],
)
def test_criteria_without_sense_are_refused_by_name(criteria: dict[str, Any], field: str) -> None:
    with pytest.raises(InvalidValue, match=field):
        judge(criteria, ("06:00", "21 degC"), ("16:00", "21 degC"))


@pytest.mark.parametrize(
    "reading",
    [
        {"temperature": "20 degC"},
        {"at": "2026-05-01T06:00Z"},
        {"at": "06:00", "temperature": "20 degC"},
        {"at": "2026-05-01T06:00Z", "temperature": "2000 degC"},
        {"at": "2026-05-01T06:00Z", "temperature": "20"},
    ],
)
def test_readings_without_sense_are_refused(reading: dict[str, Any]) -> None:
    case = {"characteristic": "cure", "criteria": {"table": CHART}, "readings": [reading]}

    with pytest.raises(InvalidValue, match=r"readings\[0\]"):
        judge_case(case)


TEMPERATURES = st.lists(st.integers(0, 50), min_size=2, max_size=8)
MODES = st.sampled_from(["colder_row", "log", "arrhenius"])


def hourly(celsius: list[int], unit: str = "degC") -> list[tuple[str, str]]:
    values = [c if unit == "degC" else c * 9 / 5 + 32 for c in celsius]
    return [(f"{i:02}:00", f"{value} {unit}") for i, value in enumerate(values)]


@given(TEMPERATURES, MODES, st.data())
def test_a_colder_reading_never_brings_the_cure_further(
    celsius: list[int], mode: str, data: st.DataObject
) -> None:
    which = data.draw(st.integers(0, len(celsius) - 1))
    colder = [c - 3 if i == which else c for i, c in enumerate(celsius)]
    criteria = {"table": CHART, "mode": mode}

    now, then = judge(criteria, *hourly(celsius)), judge(criteria, *hourly(colder))

    assert float(then["computed"]["fraction"]) <= float(now["computed"]["fraction"]) + 1e-6
    assert (now["outcome"], then["outcome"]) != ("incomplete", "conforms")


@given(TEMPERATURES, MODES)
def test_the_unit_of_a_reading_changes_nothing(celsius: list[int], mode: str) -> None:
    criteria = {"table": CHART, "mode": mode}

    metric, us = (judge(criteria, *hourly(celsius, unit)) for unit in ("degC", "degF"))

    assert metric["outcome"] == us["outcome"]
    assert metric["computed"] == us["computed"]
