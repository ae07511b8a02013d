"""Criteria in words, each with its source, in the order in which they are declared."""

from typing import Any
from zoneinfo import ZoneInfo

from qc.engine.characteristic import NO_SOURCE
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.wording import Asked, asked_of

SITE = ZoneInfo("Europe/Dublin")


def asked(key: str, criteria: dict[str, Any], **sources: str) -> tuple[Asked, ...]:
    return asked_of(CHARACTERISTICS[key], criteria, sources, SITE)


def test_a_criterion_says_its_limit_with_the_printed_unit_and_its_source() -> None:
    criteria = {"humidity_max": "85 %", "margin_min": "3 delta_degC"}
    margin, humidity = asked("ambient", criteria, margin_min="common practice")
    assert (margin.name, margin.text, margin.source) == ("margin_min", "3 °C", "common practice")
    assert (humidity.text, humidity.source) == ("85 %", NO_SOURCE)


def test_what_the_plan_does_not_set_is_not_listed() -> None:
    assert asked("ambient", {"margin_min": "", "air_min": None}) == ()


def test_a_table_a_choice_a_switch_and_a_moment_are_written_out() -> None:
    (pot_life, starts) = asked(
        "mixing", {"pot_life": {"20 degC": "60 min"}, "pot_life_starts": "mix_end"}
    )
    assert pot_life.text == "20 °C: 60 min"
    assert starts.text == "at the end of mixing"
    (rising, start) = asked(
        "ambient", {"rising_required": True, "work_start": "2026-05-12T07:10+00:00"}
    )
    assert rising.text == "yes"
    assert start.text == "12 May 2026 08:10"


def test_a_pair_reads_the_same_however_it_is_stored() -> None:
    stored = [["Sa 2.5", "SP 10"], "St 2 = SP 2"]
    (pairs,) = asked("cleanliness", {"equivalents": stored})
    assert pairs.text == "Sa 2.5 = SP 10, St 2 = SP 2"


def test_each_line_of_a_group_is_a_line() -> None:
    zones = [{"zone": "Over the leak", "min": "10 mm"}, {"zone": "Elsewhere", "min": "5 mm"}]
    (_, lines) = asked("thickness", {"rule": "minimum", "zones": zones})
    assert lines.text == "2 lines"
    assert [line.split(",")[0] for line in lines.lines] == ["Over the leak", "Elsewhere"]
    assert lines.lines[0].endswith("10 mm")
