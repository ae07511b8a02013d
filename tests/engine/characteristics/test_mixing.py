"""Mixing: times, shelf life, temperature, induction and pot life."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qc.engine.case import judge_case
from qc.engine.fields import InvalidValue

TIMES = {
    "mix_start": "2026-05-12T10:00+01:00",
    "mix_end": "2026-05-12T10:05+01:00",
    "first_use": "2026-05-12T10:20+01:00",
    "last_use": "2026-05-12T11:00+01:00",
}
MIX = {**TIMES, "material_temperature": "30 degC"}
POT_LIFE = {"20 degC": "120 min"}


def judge(criteria: dict[str, Any], *mixes: dict[str, Any]) -> dict[str, Any]:
    return judge_case({"characteristic": "mixing", "criteria": criteria, "readings": list(mixes)})


def outcomes(verdict: dict[str, Any]) -> dict[str, str]:
    return {found["rule"]: found["outcome"] for found in verdict["findings"]}


def at(clock: str) -> str:
    return f"2026-05-12T{clock}+01:00"


def test_a_mix_within_every_limit_conforms() -> None:
    criteria = {
        "duration_min": "3 min",
        "duration_max": "5 min",
        "induction": "15 min",
        "pot_life": POT_LIFE,
        "material_temperature_min": "10 degC",
        "material_temperature_max": "30 degC",
    }

    verdict = judge(criteria, MIX | {"expiry": "2026-05-12"})

    assert verdict["outcome"] == "conforms"
    assert set(outcomes(verdict).values()) == {"conforms"}
    assert verdict["computed"] == {
        "duration": ["5 min"],
        "ratio_deviation": [None],
        "pot_life": ["60 min"],
        "use_by": ["2026-05-12T11:00:00+01:00"],
    }


def test_no_mix_is_incomplete() -> None:
    assert judge({"pot_life": POT_LIFE})["outcome"] == "incomplete"


def test_a_plan_that_asks_nothing_judges_nothing() -> None:
    verdict = judge({}, MIX)

    assert verdict["outcome"] == "cannot_be_judged"
    assert outcomes(verdict) == {"mixing.criteria": "cannot_be_judged"}


@pytest.mark.parametrize(
    ("end", "outcome"),
    [
        ("10:02:59", "does_not_conform"),
        ("10:03", "conforms"),
        ("10:05", "conforms"),
        ("10:05:01", "does_not_conform"),
    ],
)
def test_mixing_time_has_a_least_and_a_most(end: str, outcome: str) -> None:
    criteria = {"duration_min": "3 min", "duration_max": "5 min"}

    assert judge(criteria, MIX | {"mix_end": at(end)})["outcome"] == outcome


def test_a_mixing_time_is_exact_in_any_unit() -> None:
    assert judge({"duration_min": "0.05 hour"}, MIX | {"mix_end": at("10:03")})["outcome"] == (
        "conforms"
    )


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"mix_end": at("10:00")}, "same moment"),
        ({"mix_end": at("09:59")}, "end of mixing lies before the start"),
        ({"first_use": at("10:04")}, "first use lies before the end of mixing"),
        ({"last_use": at("10:19")}, "last use lies before the first use"),
        ({"mix_end": None, "first_use": at("09:59")}, "first use lies before the start"),
    ],
)
def test_impossible_times_cannot_be_judged(changed: dict[str, Any], said: str) -> None:
    verdict = judge({"duration_min": "1 min", "pot_life": POT_LIFE}, MIX | changed)

    assert verdict["outcome"] == "cannot_be_judged"
    assert said in verdict["findings"][0]["statement"]


def test_use_may_begin_at_the_end_of_mixing_and_be_over_at_once() -> None:
    times = {"first_use": at("10:05"), "last_use": at("10:05")}

    assert judge({"pot_life": POT_LIFE}, MIX | times)["outcome"] == "conforms"


def test_times_compare_as_instants_whatever_their_offset() -> None:
    moved = {"mix_end": "2026-05-12T09:05+00:00", "last_use": "2026-05-12T12:00+02:00"}

    assert judge({"pot_life": POT_LIFE, "duration_max": "5 min"}, MIX | moved)["outcome"] == (
        "conforms"
    )


@pytest.mark.parametrize(
    ("first_use", "outcome"),
    [("10:18", "does_not_conform"), ("10:19:59", "does_not_conform"), ("10:20", "conforms")],
)
def test_induction_counts_from_the_end_of_mixing(first_use: str, outcome: str) -> None:
    """Calculated: mixed until 10:05, 15 min induction, 10:20 at the earliest."""
    verdict = judge({"induction": "15 min"}, MIX | {"first_use": at(first_use)})

    assert verdict["outcome"] == outcome


@pytest.mark.parametrize(
    ("starts", "last_use", "outcome"),
    [
        (None, "11:00", "conforms"),
        (None, "11:01", "does_not_conform"),
        (None, "11:00:01", "does_not_conform"),
        ("mix_start", "11:01", "does_not_conform"),
        ("mix_end", "11:05", "conforms"),
        ("mix_end", "11:05:01", "does_not_conform"),
    ],
)
def test_pot_life_counts_from_the_earlier_moment_unless_the_plan_says_otherwise(
    starts: str | None, last_use: str, outcome: str
) -> None:
    """Calculated: 120 min at 20 degC, material at 30 degC, so 60 min."""
    criteria = {"pot_life": POT_LIFE, "pot_life_starts": starts}

    verdict = judge(criteria, MIX | {"last_use": at(last_use)})

    assert verdict["outcome"] == outcome
    assert verdict["flags"] == ["pot_life_estimated"]
    assert verdict["findings"][0]["limit"] == "at most 60 min"
    assert "estimated" in verdict["findings"][0]["statement"]


def test_a_pot_life_of_the_table_is_no_estimate() -> None:
    table = {"40 degC": "30 min", "20 degC": "2 hour", "30 degC": "1 hour"}

    verdict = judge({"pot_life": table}, MIX | {"material_temperature": "25 degC"})

    assert verdict["outcome"] == "conforms"
    assert verdict["flags"] == []
    assert verdict["computed"]["pot_life"] == ["1 hour"]
    assert "estimated" not in verdict["findings"][0]["statement"]


def test_rows_of_one_time_and_the_longest_time_are_accepted() -> None:
    table = {"10 degC": "366 day", "30 degC": "366 day"}

    assert judge({"pot_life": table}, MIX)["computed"]["pot_life"] == ["366 day"]
    assert judge({"pot_life": {"30 degC": "0.5 s"}}, MIX)["outcome"] == "does_not_conform"


def test_the_warmer_of_material_and_surface_decides() -> None:
    warm = MIX | {"surface_temperature": "104 degF"}

    verdict = judge({"pot_life": POT_LIFE}, warm)

    assert verdict["outcome"] == "does_not_conform"
    assert verdict["computed"]["pot_life"] == ["30 min"]


def test_a_product_may_halve_over_another_step() -> None:
    criteria = {"pot_life": POT_LIFE, "pot_life_halving": "36 delta_degF"}

    verdict = judge(criteria, MIX | {"material_temperature": "40 degC"})

    assert verdict["computed"]["pot_life"] == ["60 min"]


@pytest.mark.parametrize("name", ["mix_start", "last_use"])
def test_a_mix_in_use_is_incomplete(name: str) -> None:
    assert judge({"pot_life": POT_LIFE}, MIX | {name: None})["outcome"] == "incomplete"


def test_a_mix_in_use_shows_until_when() -> None:
    verdict = judge({"pot_life": POT_LIFE}, MIX | {"first_use": None, "last_use": None})

    assert verdict["outcome"] == "incomplete"
    assert verdict["computed"]["use_by"] == ["2026-05-12T11:00:00+01:00"]


@pytest.mark.parametrize(
    ("criterion", "name"),
    [
        ({"duration_min": "1 min"}, "mix_end"),
        ({"induction": "5 min"}, "first_use"),
        ({"pot_life": POT_LIFE, "pot_life_starts": "mix_end"}, "mix_end"),
    ],
)
def test_a_time_not_taken_yet_is_incomplete(criterion: dict[str, Any], name: str) -> None:
    assert judge(criterion, MIX | {name: None})["outcome"] == "incomplete"


def test_without_a_temperature_there_is_no_pot_life() -> None:
    verdict = judge({"pot_life": POT_LIFE}, TIMES)

    assert verdict["outcome"] == "cannot_be_judged"
    assert verdict["computed"]["pot_life"] == [None]
    assert verdict["computed"]["use_by"] == [None]


@pytest.mark.parametrize(
    ("temperature", "outcome"),
    [
        ("9.9 degC", "does_not_conform"),
        ("10 degC", "conforms"),
        ("50 degF", "conforms"),
        ("30 degC", "conforms"),
        ("30.1 degC", "does_not_conform"),
        (None, "cannot_be_judged"),
    ],
)
@pytest.mark.parametrize("name", ["material_temperature", "storage_temperature"])
def test_material_and_storage_have_a_least_and_a_most_temperature(
    name: str, temperature: str | None, outcome: str
) -> None:
    criteria = {f"{name}_min": "10 degC", f"{name}_max": "30 degC"}

    assert judge(criteria, MIX | {name: temperature})["outcome"] == outcome


@pytest.mark.parametrize(
    ("start", "outcome"),
    [
        ("2026-05-12T00:00+01:00", "conforms"),
        ("2026-05-12T23:59+01:00", "conforms"),
        ("2026-05-13T00:00+01:00", "does_not_conform"),
        ("2026-05-12T23:30-05:00", "conforms"),
    ],
)
def test_shelf_life_lasts_through_its_day_where_the_mix_was_made(start: str, outcome: str) -> None:
    """Common practice; 23:30 five hours behind is already the next day elsewhere."""
    verdict = judge({}, {"mix_start": start, "expiry": "2026-05-12"})

    assert verdict["outcome"] == outcome
    assert verdict["findings"][0]["source"].startswith("common practice")
    said = "within" if outcome == "conforms" else "1 d past"
    assert said in verdict["findings"][0]["statement"]


def test_shelf_life_waits_for_the_start_of_mixing() -> None:
    assert judge({}, {"expiry": "2026-05-12"})["outcome"] == "incomplete"


def test_the_worst_mix_decides_and_is_named() -> None:
    late = MIX | {"last_use": at("11:10")}

    verdict = judge({"pot_life": POT_LIFE}, MIX, late)

    assert verdict["outcome"] == "does_not_conform"
    assert "mix 2" in verdict["findings"][1]["statement"]
    assert "by 10.0 min" in verdict["findings"][1]["statement"]


def test_a_mix_that_serves_several_repairs_counts_to_its_last_use() -> None:
    uses = [
        {"where": "R-2", "first_use": at("10:40"), "last_use": at("11:02")},
        {"where": "R-1", "first_use": at("10:10"), "last_use": at("10:30")},
    ]
    mix = MIX | {"first_use": None, "last_use": None, "uses": uses}

    verdict = judge({"pot_life": POT_LIFE, "induction": "10 min"}, mix)

    assert outcomes(verdict) == {
        "mixing.pot_life": "does_not_conform",
        "mixing.induction": "does_not_conform",
    }


def test_a_use_may_be_over_in_the_moment_it_began() -> None:
    use = {"where": "R-2", "first_use": at("10:40"), "last_use": at("10:40")}

    assert judge({"pot_life": POT_LIFE}, MIX | {"uses": [use]})["outcome"] == "conforms"


def test_a_use_that_ends_before_it_begins_cannot_be_judged() -> None:
    use = {"where": "R-2", "first_use": at("10:40"), "last_use": at("10:30")}

    verdict = judge({"pot_life": POT_LIFE}, MIX | {"uses": [use]})

    assert verdict["outcome"] == "cannot_be_judged"
    assert "R-2" in verdict["findings"][0]["statement"]


@pytest.mark.parametrize(
    ("criteria", "field"),
    [
        ({"duration_min": "6 min", "duration_max": "5 min"}, "duration_min"),
        ({"duration_min": "-3 min"}, "duration_min"),
        ({"pot_life": {"20 degC": "0 min"}}, "pot_life"),
        ({"pot_life": {"20 degC": "60 min", "30 degC": "61 min"}}, "pot_life"),
        ({"pot_life": {"20 degC": "60 mm"}}, "pot_life"),
        ({"pot_life": {"20 degC": "400 day"}}, "pot_life"),
        ({"pot_life_starts": "lunch"}, "pot_life_starts"),
        ({"induction": "15"}, "induction"),
        (
            {"material_temperature_min": "30 degC", "material_temperature_max": "50 degF"},
            "material_temperature_min",
        ),
    ],
)
def test_criteria_without_sense_are_refused_by_name(criteria: dict[str, Any], field: str) -> None:
    with pytest.raises(InvalidValue, match=field):
        judge(criteria, MIX)


@pytest.mark.parametrize(
    "reading",
    [
        {"mix_start": "10:00"},
        {"material_temperature": "900 degC"},
        {"expiry": "soon"},
        {"whole_kit": "yes"},
        {"colour": "grey"},
    ],
)
def test_readings_without_sense_are_refused_by_name(reading: dict[str, Any]) -> None:
    with pytest.raises(InvalidValue, match=next(iter(reading))):
        judge({}, reading)


CLOCK = st.integers(0, 3 * 3600)


@given(CLOCK, st.integers(0, 3600), st.integers(-40, 80))
def test_a_later_last_use_or_a_warmer_mix_never_improves_the_verdict(
    used: int, longer: int, warmer: int
) -> None:
    def verdict(seconds: int, celsius: int) -> str:
        last = f"2026-05-12T{10 + seconds // 3600}:{seconds % 3600 // 60:02}:{seconds % 60:02}Z"
        mix = {
            "mix_start": "2026-05-12T10:00Z",
            "last_use": last,
            "material_temperature": f"{celsius} degC",
        }
        return str(judge({"pot_life": POT_LIFE}, mix)["outcome"])

    if verdict(used, 20) == "does_not_conform":
        assert verdict(used + longer, 20) == "does_not_conform"
        assert verdict(used, 20 + max(warmer, 0)) == "does_not_conform"
    if warmer < 0 and verdict(used, 20) == "conforms":
        assert verdict(used, 20 + warmer) == "conforms"
