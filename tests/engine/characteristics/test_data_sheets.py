"""Figures of published data sheets, judged as a plan that takes them over would have it."""

from typing import Any

import pytest

from qc.engine.case import judge_case


def outcome(key: str, criteria: dict[str, Any], *readings: dict[str, Any]) -> str:
    case = {"characteristic": key, "criteria": criteria, "readings": list(readings)}
    return str(judge_case(case)["outcome"])


def at(clock: str, day: int = 12) -> str:
    return f"2026-05-{day}T{clock}Z"


PUTTY = {
    "ratio": "1:1",
    "ratio_basis": "volume",
    "ratio_tolerance": "5 %",
    "density_a": "1.4 kg/l",
    "density_b": "1 kg/l",
    "pot_life": {"75 degF": "45 min"},
}


@pytest.mark.parametrize(
    ("last_use", "temperature", "expected"),
    [
        ("10:45", "75 degF", "conforms"),
        ("10:46", "75 degF", "does_not_conform"),
        ("10:22", "93 degF", "conforms"),
        ("10:23", "93 degF", "does_not_conform"),
        ("11:30", "57 degF", "conforms"),
        ("11:31", "57 degF", "does_not_conform"),
    ],
)
def test_an_underwater_putty_is_used_up_within_its_pot_life(
    last_use: str, temperature: str, expected: str
) -> None:
    """Data sheet of an underwater epoxy putty: 1:1 by volume, 1.4:1 by weight, 45 min at 75 degF;
    calculated: 22.5 min 18 degF warmer, 90 min as much colder."""
    mix = {
        "mix_start": at("10:00"),
        "mix_end": at("10:04"),
        "last_use": at(last_use),
        "material_temperature": temperature,
        "part_a": "1.4 kg",
        "part_b": "1 kg",
    }

    assert outcome("mixing", PUTTY, mix) == expected


@pytest.mark.parametrize(
    ("next_start", "expected"),
    [
        ("17:59", "does_not_conform"),
        ("18:00", "conforms"),
        ("20:00", "conforms"),
        ("20:01", "does_not_conform"),
    ],
)
def test_it_is_coated_again_after_ten_to_twelve_hours(next_start: str, expected: str) -> None:
    """Data sheet of an underwater epoxy putty: recoat 10 to 12 h."""
    window = {"window_min": {"75 degF": "10 hour"}, "window_max": {"75 degF": "12 hour"}}
    coat = {"previous_end": at("08:00"), "next_start": at(next_start), "temperatures": "75 degF"}

    assert outcome("recoat", window, coat) == expected


@pytest.mark.parametrize(
    ("table", "temperature", "minutes"),
    [
        ({"75 degF": "24 hour"}, "75 degF", 24 * 60),
        ({"21 degC": "16 hour"}, "21 degC", 16 * 60),
        ({"20 degC": "30 min"}, "20 degC", 30),
    ],
)
def test_a_cure_takes_as_long_as_the_sheet_says(
    table: dict[str, str], temperature: str, minutes: int
) -> None:
    """Data sheets: putty 24 h at 75 degF, metal-filled epoxy 16 h at 21 degC, water-activated tape
    30 min at 20 degC."""

    def held(minutes: int) -> str:
        day, rest = divmod(minutes, 24 * 60)
        end = at(f"{rest // 60:02}:{rest % 60:02}", 12 + day)
        log = [{"at": moment, "temperature": temperature} for moment in (at("00:00"), end)]
        return outcome("cure", {"table": table}, *log)

    assert held(minutes) == "conforms"
    assert held(minutes - 1) == "incomplete"


@pytest.mark.parametrize(
    ("least", "values", "expected"),
    [
        ("82", ["82", "83", "81"], "conforms"),
        ("82", ["82", "82", "81"], "does_not_conform"),
        ("65", ["65", "66", "64"], "conforms"),
        ("75", ["74.9"], "does_not_conform"),
    ],
)
def test_a_cured_putty_or_epoxy_is_as_hard_as_its_sheet_says(
    least: str, values: list[str], expected: str
) -> None:
    """Data sheets: putty Shore D 82; chart of a two-part epoxy: cured to 65 and to 75."""
    assert outcome("hardness", {"scale": "shore_d", "min": least}, {"values": values}) == expected


@pytest.mark.parametrize(
    ("minutes", "expected"),
    [(2, "does_not_conform"), (3, "conforms"), (5, "conforms"), (6, "does_not_conform")],
)
def test_a_metal_filled_epoxy_is_mixed_three_to_five_minutes(minutes: int, expected: str) -> None:
    """Application guide of a metal-filled epoxy: 3 to 5 min, to a mix without streaks."""
    plan = {"duration_min": "3 min", "duration_max": "5 min"}
    mix = {"mix_start": at("10:00"), "mix_end": at(f"10:0{minutes}")}

    assert outcome("mixing", plan, mix) == expected


@pytest.mark.parametrize(
    ("beyond", "expected"), [("2 in", "conforms"), ("1.99 in", "does_not_conform")]
)
def test_a_wrap_reaches_two_inches_beyond_the_putty_at_each_side(
    beyond: str, expected: str
) -> None:
    """Instructions of a water-activated wrap kit: cover the break and 2 in beyond each side."""
    wrap = {"part": "wrap", "overlap_length": ["2.5 in", beyond]}

    assert outcome("wrap", {"overlap_length_min": "2 in"}, wrap) == expected


@pytest.mark.parametrize(
    ("passes", "least", "expected"),
    [(4, 8, "conforms"), (5, 10, "conforms"), (4, 10, "does_not_conform")],
)
def test_a_wrap_on_a_large_pipe_has_eight_to_ten_layers(
    passes: int, least: int, expected: str
) -> None:
    """Instructions of a water-activated wrap kit: 8 to 10 layers above 18 in; half overlap."""
    parts = {"part": "roll", "overlap": "50 %"}, {"part": "wrap", "passes": passes}

    assert outcome("wrap", {"layers_min": least}, *parts) == expected
