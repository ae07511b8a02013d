"""Ambient: were readings taken often enough, over all of the work, and is the margin rising?"""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

FOUR_HOURS = {"interval_max": "4 hour"}


def judge(criteria: dict[str, Any], *readings: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "ambient", "criteria": criteria, "readings": list(readings)}
    return judge_case(case)


def at(clock: str, steel: str = "30 degC", **more: Any) -> dict[str, Any]:
    moment = f"2026-05-12T{clock}+01:00"
    return {"at": moment, "air": "25 degC", "humidity": "60 %", "steel": [steel], **more}


def outcomes(criteria: dict[str, Any], *clocks: str) -> dict[str, str]:
    found = judge(criteria, *(at(clock) for clock in clocks))["findings"]
    return {finding["rule"]: finding["outcome"] for finding in found}


@pytest.mark.parametrize(
    ("tolerance", "expected"),
    [
        (None, "does_not_conform"),
        ("9 min", "does_not_conform"),
        ("10 min", "conforms"),
        ("0.5 hour", "conforms"),
    ],
)
def test_ten_minutes_late_need_ten_minutes_of_tolerance(
    tolerance: str | None, expected: str
) -> None:
    """Calculated: 07:00, 11:00, 15:10 with a limit of 4 h."""
    criteria = FOUR_HOURS | ({"interval_tolerance": tolerance} if tolerance else {})

    assert outcomes(criteria, "07:00", "11:00", "15:10") == {"ambient.interval": expected}


def test_the_gap_is_named_by_its_beginning() -> None:
    finding = judge(FOUR_HOURS, at("07:00"), at("11:00"), at("15:10"))["findings"][0]

    assert finding["observed"] == "4.17 h"
    assert "after 2026-05-12 11:00" in finding["statement"]


def test_the_tolerance_is_stated() -> None:
    criteria = FOUR_HOURS | {"interval_tolerance": "10 min"}

    finding = judge(criteria, at("07:00"), at("11:10"))["findings"][0]

    assert finding["outcome"] == "conforms"
    assert finding["limit"] == "at most 4 h and 10 min of tolerance"
    assert finding["limit"] in finding["statement"]


@given(st.permutations(["07:00", "09:00", "12:30", "16:00"]))
def test_readings_may_come_in_any_order(clocks: list[str]) -> None:
    assert outcomes(FOUR_HOURS, *clocks) == {"ambient.interval": "conforms"}
    assert outcomes({"interval_max": "3 hour"}, *clocks) == {"ambient.interval": "does_not_conform"}


def test_offsets_are_honoured() -> None:
    readings = [at("07:00"), {**at("07:00"), "at": "2026-05-12T10:00Z"}]

    assert judge(FOUR_HOURS, *readings)["outcome"] == "conforms"


def test_one_reading_has_no_interval_to_judge() -> None:
    assert judge(FOUR_HOURS, at("07:00"))["outcome"] == "cannot_be_judged"
    assert judge(FOUR_HOURS | {"margin_min": "3 degC"}, at("07:00"))["outcome"] == "conforms"


def test_a_reading_without_its_time_cannot_be_judged() -> None:
    untimed = {name: value for name, value in at("09:00").items() if name != "at"}

    verdict = judge(FOUR_HOURS, at("07:00"), untimed)

    assert verdict["outcome"] == "cannot_be_judged"
    assert verdict["findings"][0]["statement"].startswith("Reading 2: the time")


WORK = {"work_start": "2026-05-12T08:00+01:00", "work_end": "2026-05-12T15:00+01:00"}


@pytest.mark.parametrize(
    ("clocks", "start", "end"),
    [
        (("07:50", "11:00", "15:00"), "conforms", "conforms"),
        (("08:00", "15:00"), "conforms", "conforms"),
        (("08:01", "15:00"), "does_not_conform", "conforms"),
        (("07:50", "14:59"), "conforms", "incomplete"),
    ],
)
def test_the_work_is_covered_from_before_its_start_to_its_end(
    clocks: tuple[str, ...], start: str, end: str
) -> None:
    expected = {"ambient.cover_start": start, "ambient.cover_end": end}

    assert outcomes(WORK, *clocks) == expected


@pytest.mark.parametrize(
    ("clocks", "interval", "end"),
    [
        (("07:50", "11:30"), "conforms", "conforms"),
        (("07:50", "11:00"), "conforms", "conforms"),
        (("07:50", "10:59"), "does_not_conform", "incomplete"),
        (("03:00", "07:50", "11:00"), "conforms", "conforms"),
        (("07:50", "11:00", "15:00", "22:00"), "conforms", "conforms"),
        (("07:00", "11:01", "15:00"), "does_not_conform", "conforms"),
    ],
)
def test_with_an_interval_the_work_may_end_within_one_and_gaps_outside_it_are_none(
    clocks: tuple[str, ...], interval: str, end: str
) -> None:
    found = outcomes(WORK | FOUR_HOURS, *clocks)

    assert found["ambient.interval"] == interval
    assert found["ambient.cover_end"] == end


def test_work_cannot_end_before_it_starts() -> None:
    with pytest.raises(InvalidValue, match=r"criteria\.work_start"):
        judge({"work_start": WORK["work_end"], "work_end": WORK["work_start"]}, at("07:00"))


RISING = {"rising_required": True}


@pytest.mark.parametrize(
    ("steels", "expected"),
    [
        (("20 degC", "20.1 degC"), "conforms"),
        (("20 degC", "20 degC"), "does_not_conform"),
        (("20 degC", "19.9 degC"), "does_not_conform"),
        (("30 degC", "20 degC", "21 degC"), "conforms"),
        (("20 degC",), "incomplete"),
    ],
)
def test_the_last_two_margins_show_the_trend(steels: tuple[str, ...], expected: str) -> None:
    readings = [at(f"{7 + hour:02}:00", steel) for hour, steel in enumerate(steels)]

    for order in (readings, readings[::-1]):
        assert judge(RISING, *order)["outcome"] == expected


@pytest.mark.parametrize(("seen", "expected"), [(True, "conforms"), (False, "does_not_conform")])
def test_what_the_inspector_saw_last_goes_before_the_figures(seen: bool, expected: str) -> None:
    readings = [at("07:00", "25 degC"), at("08:00", "25 degC", rising=seen)]

    assert judge(RISING, *readings)["outcome"] == expected


def test_a_trend_needs_two_margins() -> None:
    no_steel = {name: value for name, value in at("08:00").items() if name != "steel"}

    assert judge(RISING, at("07:00"), no_steel)["outcome"] == "cannot_be_judged"


def test_a_plan_without_a_trend_judges_none() -> None:
    findings = judge({"rising_required": False}, at("07:00", rising=False))["findings"]

    assert [found["rule"] for found in findings] == ["ambient.criteria"]
