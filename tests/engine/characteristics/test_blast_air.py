"""Blast air: clean cloth, long enough, at start-up and often enough."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue
from qc.engine.rules import Outcome

OFTEN = {"interval_max": "5 hour"}
STARTED = {"at_start_up": True}
WORST_FIRST = list(Outcome)


def judge(criteria: dict[str, Any], *tests: dict[str, Any]) -> dict[str, Any]:
    case = {"characteristic": "blast_air", "criteria": criteria, "readings": list(tests)}
    return judge_case(case)


def cloth(clock: str = "", occasion: str | None = "running", **more: Any) -> dict[str, Any]:
    at = {"at": f"2026-05-12T{clock}+01:00"} if clock else {}
    test = {"duration": "1 min", "oil": False, "water": False, "occasion": occasion}
    return {**test, **at, **more}


def until(clock: str) -> dict[str, str]:
    return {"until": f"2026-05-12T{clock}+01:00"}


def findings(criteria: dict[str, Any], *tests: dict[str, Any]) -> dict[str, str]:
    return {f["rule"]: f["outcome"] for f in judge(criteria, *tests)["findings"]}


@pytest.mark.parametrize(
    ("seen", "said"),
    [
        ({"oil": True}, "Oil on the cloth"),
        ({"water": True}, "Water on the cloth"),
        ({"oil": True, "water": True}, "Oil and water on the cloth"),
    ],
)
def test_oil_or_water_on_the_cloth_rejects(seen: dict[str, Any], said: str) -> None:
    """ASTM D4285: no oil or water."""
    verdict = judge({}, cloth(**seen))

    assert judge({}, cloth())["outcome"] == "conforms"
    assert verdict["outcome"] == "does_not_conform"
    assert verdict["findings"][0]["statement"].startswith(said)
    assert "ASTM D4285" in verdict["findings"][0]["source"]
    assert judge({}, cloth(), cloth(**seen), cloth())["outcome"] == "does_not_conform"


@pytest.mark.parametrize(
    ("duration", "outcome"),
    [("1 min", "conforms"), ("60 s", "conforms"), ("59 s", "incomplete"), ("2 min", "conforms")],
)
def test_a_test_shorter_than_a_minute_is_not_counted(duration: str, outcome: str) -> None:
    """ASTM D4285: at least one minute."""
    verdict = judge({}, cloth(duration=duration))

    assert verdict["outcome"] == outcome
    assert bool(verdict["flags"]) is (outcome == "incomplete")


def test_a_short_test_is_made_good_by_a_full_one_but_its_oil_stays() -> None:
    short = cloth("07:00", duration="30 s")

    assert judge(OFTEN, short, cloth("07:05"))["outcome"] == "conforms"
    assert judge(OFTEN, short | {"oil": True}, cloth("07:05"))["outcome"] == "does_not_conform"


def test_the_plan_may_ask_for_a_longer_test() -> None:
    assert judge({"duration_min": "2 min"}, cloth(duration="119 s"))["outcome"] == "incomplete"
    assert judge({"duration_min": "2 min"}, cloth(duration="120 s"))["outcome"] == "conforms"


@pytest.mark.parametrize(
    ("clock", "outcome"), [("12:00", "conforms"), ("12:01", "does_not_conform")]
)
def test_the_air_runs_no_longer_than_the_interval_between_tests(clock: str, outcome: str) -> None:
    """UFGS 09971: at least every five operating hours."""
    verdict = judge(OFTEN, cloth("07:00", "start_up"), cloth(clock))

    assert verdict["outcome"] == outcome
    assert verdict["computed"]["longest_run"].startswith("5")


def test_the_interval_keeps_its_unit_and_names_the_test_before() -> None:
    tests = [cloth("07:00"), cloth("08:00"), cloth("13:30")]

    (interval,) = (
        f for f in judge({"interval_max": "300 min"}, *tests)["findings"] if "int" in f["rule"]
    )

    assert (interval["observed"], interval["limit"]) == ("330.00 min", "at most 300 min")
    assert "after reading 2, highest of 2" in interval["statement"]


def test_the_end_of_blasting_counts_too() -> None:
    assert findings(OFTEN, cloth("07:00", **until("12:00")))["blast_air.interval"] == "conforms"
    late = findings(OFTEN, cloth("07:00", **until("12:01")))
    assert late["blast_air.interval"] == "does_not_conform"
    assert "blast_air.interval" not in findings(OFTEN, cloth("07:00"))


def test_a_stop_does_not_count_as_operating_time() -> None:
    first, second = cloth("07:00", "start_up"), cloth("13:00", "start_up")

    assert findings(OFTEN, first, second)["blast_air.interval"] == "cannot_be_judged"
    ended = first | until("11:00")
    assert findings(OFTEN, ended, second)["blast_air.interval"] == "conforms"
    late = first | until("12:30")
    assert findings(OFTEN, late, second)["blast_air.interval"] == "does_not_conform"
    after = first | until("13:30")
    assert findings(OFTEN, after, second)["blast_air.interval"] == "cannot_be_judged"
    assert findings(OFTEN, first, cloth("12:00", "start_up"))["blast_air.interval"] == "conforms"


def test_the_meter_tells_operating_hours_whatever_the_clock_says() -> None:
    first = cloth("07:00", "start_up", hour_meter="100.5 hour")

    def interval(shown: str) -> str:
        following = cloth("18:00", "start_up", hour_meter=shown)
        return findings(OFTEN, first, following)["blast_air.interval"]

    assert interval("105.5 hour") == "conforms"
    assert interval("105.6 hour") == "does_not_conform"
    assert interval("100.4 hour") == "cannot_be_judged"


def test_tests_without_time_are_put_in_order_by_the_meter() -> None:
    tests = [cloth(hour_meter=f"{hours} hour") for hours in (8, 0, 4)]

    assert judge(OFTEN, *tests)["outcome"] == "conforms"
    assert judge(OFTEN, *tests)["computed"] == {"longest_run": "4 hour"}


def test_without_time_or_meter_the_interval_cannot_be_judged() -> None:
    assert judge(OFTEN, cloth(), cloth())["outcome"] == "cannot_be_judged"
    assert judge(OFTEN, cloth("07:00"), cloth())["outcome"] == "cannot_be_judged"
    assert judge(OFTEN, cloth(**until("12:00")))["outcome"] == "cannot_be_judged"
    assert judge({}, cloth(), cloth())["outcome"] == "conforms"


@pytest.mark.parametrize(
    ("occasion", "outcome"),
    [
        ("start_up", "conforms"),
        ("running", "does_not_conform"),
        (None, "cannot_be_judged"),
    ],
)
def test_the_first_test_is_at_start_up(occasion: str | None, outcome: str) -> None:
    later = cloth("08:00")

    assert judge(STARTED, later, cloth("07:00", occasion))["outcome"] == outcome


def test_after_the_end_of_blasting_the_air_is_tested_at_start_up_again() -> None:
    first = cloth("07:00", "start_up", **until("08:00"))

    assert judge(STARTED, first, cloth("09:00", "start_up"))["outcome"] == "conforms"
    again = judge(STARTED, first, cloth("09:00"))
    assert again["outcome"] == "does_not_conform"
    assert again["findings"][-1]["observed"] == "1 of 2 at start-up"


def test_each_outlet_is_judged_by_its_own_tests() -> None:
    north, south = cloth("07:00", "start_up", outlet="North"), cloth("11:00", outlet="south")
    criteria = OFTEN | STARTED

    assert findings(criteria, north, south)["blast_air.start_up"] == "does_not_conform"
    again = cloth("11:30", outlet=" north ")
    assert "blast_air.interval" in findings(criteria, north, again)
    assert "blast_air.interval" not in findings(criteria, north, south)


def test_fewer_tests_than_asked_are_incomplete() -> None:
    assert judge({"readings_min": 2}, cloth())["outcome"] == "incomplete"
    assert judge({"readings_min": 2}, cloth(), cloth())["outcome"] == "conforms"
    assert judge({})["outcome"] == "incomplete"
    assert judge(STARTED, cloth(duration="1 s"))["outcome"] == "incomplete"


@pytest.mark.parametrize("name", ["oil", "water", "duration"])
def test_a_test_says_how_long_and_what_was_seen(name: str) -> None:
    with pytest.raises(InvalidValue, match=rf"^readings\[0\]\.{name}: is required"):
        judge({}, cloth() | {name: None})


@pytest.mark.parametrize("wrong", [{"duration": "-1 min"}, {"hour_meter": "5 mm"}, {"at": "noon"}])
def test_readings_without_sense_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=rf"^readings\[0\]\.{next(iter(wrong))}: "):
        judge({}, cloth() | wrong)


START = datetime.fromisoformat("2026-05-12T06:00+01:00")
minutes = st.lists(st.integers(0, 1200), min_size=1, max_size=6, unique=True)


def at(minute: int, **more: Any) -> dict[str, Any]:
    return cloth(at=(START + timedelta(minutes=minute)).isoformat(), **more)


def rank(verdict: dict[str, Any]) -> int:
    """Larger is better."""
    return WORST_FIRST.index(verdict["outcome"])


@given(minutes, st.data())
def test_the_order_in_which_tests_are_entered_does_not_matter(
    taken: list[int], data: st.DataObject
) -> None:
    mixed = data.draw(st.permutations(taken))

    assert judge(OFTEN, *map(at, taken))["outcome"] == judge(OFTEN, *map(at, mixed))["outcome"]


@given(minutes, st.integers(0, 1200), st.sampled_from(["oil", "water"]))
def test_a_further_test_never_hides_oil_or_water(taken: list[int], later: int, seen: str) -> None:
    dirty = [at(minute, **{seen: True}) for minute in taken[:1]]

    assert judge(OFTEN, *dirty, *map(at, taken[1:]), at(later))["outcome"] == "does_not_conform"


@given(minutes, st.integers(1, 20))
def test_a_stricter_interval_never_improves_the_verdict(taken: list[int], hours: int) -> None:
    strict = judge({"interval_max": f"{hours} hour"}, *map(at, taken))
    loose = judge({"interval_max": f"{hours + 1} hour"}, *map(at, taken))

    assert rank(strict) <= rank(loose)


def test_a_stop_may_begin_at_the_moment_of_the_next_start() -> None:
    first = cloth("07:00", "start_up", **until("12:00"))

    assert findings(OFTEN, first, cloth("12:00", "start_up"))["blast_air.interval"] == "conforms"


def test_two_tests_at_one_moment_or_meter_reading_are_no_step_backwards() -> None:
    assert findings(OFTEN, cloth("07:00"), cloth("07:00"))["blast_air.interval"] == "conforms"
    metered = [cloth(hour_meter="7 hour"), cloth(hour_meter="7 hour")]
    assert findings(OFTEN, *metered)["blast_air.interval"] == "conforms"


def test_what_cannot_be_told_names_the_test_before() -> None:
    tests = [cloth("07:00"), cloth("08:00"), cloth("20:00", "start_up")]

    told, untold = (f for f in judge(OFTEN, *tests)["findings"] if f["rule"].endswith("interval"))

    assert told["observed"] == "1.00 h"
    assert untold["statement"].startswith("Reading 2: not known how long the air ran")
    assert judge(OFTEN, *tests)["computed"] == {"longest_run": "1 hour"}
    backwards = [cloth("07:00", hour_meter="9 hour"), cloth("08:00", hour_meter="8 hour")]
    said = judge(OFTEN, *backwards)["findings"][-1]["statement"]
    assert said == "Reading 1: time or meter runs backwards after this test."


def test_the_cloth_is_described_and_short_tests_are_named() -> None:
    verdict = judge({}, cloth(), cloth(water=True, duration="59 s"))

    assert verdict["findings"][0]["observed"] == "oil or water on the cloth"
    assert verdict["findings"][1]["statement"] == "1 full test, at least 1 asked for."
    assert verdict["flags"] == ["blast_air.duration: reading 2: shorter than 1 min, not counted"]
    assert judge({}, cloth())["findings"][0]["observed"] == "no oil or water"


def test_a_meter_that_only_one_test_shows_gives_way_to_the_clock() -> None:
    tests = [cloth("07:00", hour_meter="9 hour"), cloth("11:00"), cloth("12:00")]

    assert judge(OFTEN, *tests)["outcome"] == "conforms"
    assert judge(OFTEN, *tests)["computed"] == {"longest_run": "4 hour"}
