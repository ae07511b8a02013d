"""The recoat window, at both ends."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

# Published cure chart of a two-part epoxy: recoat window in minutes.
WINDOW = {
    "window_min": {"16 degC": "57 min", "21 degC": "47 min", "27 degC": "25 min"},
    "window_max": {"16 degC": "150 min", "21 degC": "116 min", "27 degC": "75 min"},
}


def judge(criteria: dict[str, Any], *coats: dict[str, Any]) -> dict[str, Any]:
    return judge_case({"characteristic": "recoat", "criteria": criteria, "readings": list(coats)})


def coat(start: str | None, *temperatures: str, **more: Any) -> dict[str, Any]:
    return {
        "previous_end": "2026-05-12T09:00Z",
        "next_start": start and f"2026-05-12T{start}Z",
        "temperatures": list(temperatures or ("21 degC",)),
        **more,
    }


@pytest.mark.parametrize(
    ("start", "outcome"),
    [
        ("09:46", "does_not_conform"),
        ("09:46:59", "does_not_conform"),
        ("09:47", "conforms"),
        ("10:56", "conforms"),
        ("10:56:01", "does_not_conform"),
        ("10:57", "does_not_conform"),
    ],
)
def test_a_coat_is_neither_early_nor_late(start: str, outcome: str) -> None:
    """Published chart: at 21 degC from 47 to 116 min after the coat of 09:00."""
    assert judge(WINDOW, coat(start))["outcome"] == outcome


def test_the_window_is_told_before_the_coat_is_begun() -> None:
    verdict = judge(WINDOW, coat(None))

    assert verdict["outcome"] == "incomplete"
    assert verdict["computed"] == {
        "waited": [None],
        "earliest": ["2026-05-12T09:47:00+00:00"],
        "latest": ["2026-05-12T10:56:00+00:00"],
    }


def test_between_two_rows_the_safe_one_counts_at_either_end() -> None:
    """Published chart: at 24 degC not before the time of 21 nor after that of 27 degC."""
    computed = judge(WINDOW, coat("10:00", "24 degC"))["computed"]

    assert computed["earliest"] == ["2026-05-12T09:47:00+00:00"]
    assert computed["latest"] == ["2026-05-12T10:15:00+00:00"]


def test_the_lowest_opens_and_the_highest_closes_the_window_unless_the_mean_is_asked() -> None:
    range_ = ("16 degC", "26 degC", "80.6 degF")
    mean = WINDOW | {"temperature_statistic": "mean"}

    extremes, by_mean = (judge(c, coat(None, *range_))["computed"] for c in (WINDOW, mean))

    assert extremes["earliest"] == ["2026-05-12T09:57:00+00:00"]
    assert extremes["latest"] == ["2026-05-12T10:15:00+00:00"]
    assert by_mean["earliest"] == ["2026-05-12T09:47:00+00:00"]


def test_a_late_coat_on_an_abraded_one_is_accepted_and_marked() -> None:
    verdict = judge(WINDOW, coat("12:00", abraded=True, coat="second coat"))

    assert verdict["outcome"] == "conforms"
    assert verdict["flags"] == ["second coat: past the recoat window, abraded"]
    late = verdict["findings"][-1]
    assert (late["rule"], late["outcome"]) == ("recoat.latest", "conforms")
    assert (late["observed"], late["limit"]) == ("180.0 min", "at most 116 min")
    assert "Abraded" in late["statement"]


@pytest.mark.parametrize(
    ("start", "abraded", "outcome"),
    [
        ("10:00", None, "conforms"),
        ("10:01", None, "does_not_conform"),
        ("10:01", True, "conforms"),
    ],
)
def test_a_tape_is_overcoated_within_an_hour_or_abraded_first(
    start: str, abraded: bool | None, outcome: str
) -> None:
    """Data sheet of a water-activated tape: overcoated within 1 h, later hardened and abraded."""
    tape = {"window_max": {"20 degC": "1 hour"}}

    assert judge(tape, coat(start, "20 degC", abraded=abraded))["outcome"] == outcome


@pytest.mark.parametrize("abraded", [False, None])
def test_a_late_coat_on_one_that_was_not_abraded_fails(abraded: bool | None) -> None:
    verdict = judge(WINDOW, coat("12:00", abraded=abraded))

    assert verdict["outcome"] == "does_not_conform"
    assert verdict["flags"] == []


def test_abrading_makes_no_early_coat_good() -> None:
    assert judge(WINDOW, coat("09:10", abraded=True))["outcome"] == "does_not_conform"


@pytest.mark.parametrize(
    ("temperature", "said"),
    [("15.9 degC", "colder than the table"), ("27.1 degC", "hotter than the table")],
)
def test_outside_the_table_nothing_is_extrapolated(temperature: str, said: str) -> None:
    verdict = judge(WINDOW, coat("10:00", temperature))

    assert verdict["outcome"] == "cannot_be_judged"
    assert said in " ".join(found["statement"] for found in verdict["findings"])


def test_without_a_temperature_or_before_the_coat_below_it_cannot_be_judged() -> None:
    no_temperature = judge(WINDOW, coat("10:00") | {"temperatures": []})
    before = judge(WINDOW, coat("08:59"))

    assert no_temperature["outcome"] == before["outcome"] == "cannot_be_judged"
    assert "temperature" in no_temperature["findings"][0]["statement"]
    assert no_temperature["computed"]["waited"] == ["60 min"]
    assert len(before["findings"]) == 2
    assert "before the previous coat" in before["findings"][0]["statement"]


def test_a_coat_wet_on_wet_is_early_and_no_mistake() -> None:
    assert judge(WINDOW, coat("09:00"))["outcome"] == "does_not_conform"
    assert judge(WINDOW, coat("09:00:30"))["outcome"] == "does_not_conform"


def test_the_window_is_told_in_full_seconds_inside_it() -> None:
    window = {"window_min": {"20 degC": "0.01 min"}, "window_max": {"20 degC": "0.99 min"}}

    computed = judge(window, coat(None, "20 degC"))["computed"]

    assert computed["earliest"] == ["2026-05-12T09:00:01+00:00"]
    assert computed["latest"] == ["2026-05-12T09:00:59+00:00"]


def test_a_window_of_one_moment_the_same_at_two_temperatures_for_a_year_is_accepted() -> None:
    year = {"10 degC": "366 day", "20 degC": "366 day"}

    assert judge({"window_min": year, "window_max": year}, coat(None, "20 degC"))["outcome"] == (
        "incomplete"
    )


def test_one_end_alone_may_be_asked_and_none_is_no_pass() -> None:
    earliest = {"window_min": WINDOW["window_min"]}

    assert judge(earliest, coat("23:00"))["outcome"] == "conforms"
    assert judge({}, coat("10:00"))["outcome"] == "cannot_be_judged"
    assert judge(WINDOW)["outcome"] == "incomplete"


def test_the_worst_coat_decides() -> None:
    verdict = judge(WINDOW, coat("10:00"), coat("10:57"))

    assert verdict["outcome"] == "does_not_conform"
    assert "coat 2" in verdict["findings"][-1]["statement"]


def test_a_guarded_decision_narrows_the_window_at_both_ends() -> None:
    guarded = WINDOW | {"decision": "guarded", "expanded_uncertainty": "1 min"}

    outcomes = [
        judge(guarded, coat(start))["outcome"] for start in ("09:47", "09:48", "10:55", "10:56")
    ]

    assert outcomes == ["does_not_conform", "conforms", "conforms", "does_not_conform"]


@pytest.mark.parametrize(
    ("criteria", "field"),
    [
        ({"window_min": {"20 degC": "400 day"}}, "window_min"),
        ({"window_min": {"10 degC": "1 hour", "20 degC": "2 hour"}}, "window_min"),
        ({"window_max": {"10 degC": "1 hour", "20 degC": "2 hour"}}, "window_max"),
        (
            {"window_min": {"20 degC": "2 hour"}, "window_max": {"68 degF": "1 hour"}},
            "window_min",
        ),
        ({"temperature_statistic": "median"}, "temperature_statistic"),
    ],
)
def test_criteria_without_sense_are_refused_by_name(criteria: dict[str, Any], field: str) -> None:
    with pytest.raises(InvalidValue, match=field):
        judge(criteria, coat("10:00"))


@given(st.integers(16, 27), st.integers(0, 239))
def test_the_safe_window_is_the_narrower_one(celsius: int, minutes: int) -> None:
    """What conforms within a range of temperatures conforms at each end of it."""
    start = f"{9 + minutes // 60:02}:{minutes % 60:02}"
    both = judge(WINDOW, coat(start, "21 degC", f"{celsius} degC"))["outcome"]

    if both == "conforms":
        assert judge(WINDOW, coat(start, "21 degC"))["outcome"] == "conforms"
        assert judge(WINDOW, coat(start, f"{celsius} degC"))["outcome"] == "conforms"
