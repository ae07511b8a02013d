"""`manage.py bench engine` measures and prints; nothing here asserts how fast anything is."""

import re
import sys
from collections.abc import Iterator
from decimal import Decimal
from typing import cast

import pytest
from django.core.management import execute_from_command_line

from qc.engine.formulas.psychrometrics import dew_point
from qc.engine.quantities import Quantity
from qc.engine.rules import Verdict
from qc.management.bench import engine
from qc.management.bench.alternation import Ratio, alternated


class Timer:
    """A clock that moves only while one of its works runs."""

    def __init__(self) -> None:
        self.now = 0.0
        self.ran: list[str] = []

    def __call__(self) -> float:
        return self.now

    def work(self, name: str, times: Iterator[float]) -> None:
        self.ran.append(name)
        self.now += next(times)


def run(*arguments: str) -> int:
    try:
        execute_from_command_line(["manage.py", "bench", *arguments])
    except SystemExit as left:
        return int(left.code or 0)
    return 0


def test_two_works_are_timed_turn_about_after_a_round_that_warms_up() -> None:
    timer = Timer()
    first, second = iter([99.0, 2, 6, 12]), iter([1.0, 1, 2, 3])

    ratio = alternated(
        lambda: timer.work("first", first), lambda: timer.work("second", second), 3, timer
    )

    assert ratio.rounds == (2, 3, 4)
    assert timer.ran == ["second", "first", "first", "second"] * 2


def test_the_median_of_the_rounds_and_the_middle_half_are_told() -> None:
    ratio = Ratio((9.0, 1.0, 2.0, 3.0, 4.0))

    assert ratio.middle == 3
    assert ratio.spread == (2, 4)
    assert Ratio((5.0,)).spread == (5, 5)


def test_every_comparison_is_printed_with_its_ratio_and_spread(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(engine, "READINGS", 40)

    assert run("engine", "--rounds", "1") == 0

    heading, *lines = capsys.readouterr().out.splitlines()
    assert "1 alternated rounds" in heading
    assert all(re.match(r" +\d+\.\d\d \(\d+\.\d\d to \d+\.\d\d\)  \w", line) for line in lines)
    for title in ("dew point / bare Magnus", "psychrolib / dew point", "thickness readings"):
        assert any(title in line for line in lines)


def test_the_one_liner_is_the_dew_point_of_the_engine() -> None:
    for air_c, humidity in ((-20.0, 5.0), (0.0, 50.0), (25.0, 60.0), (45.0, 100.0)):
        assert abs(engine.magnus_one_liner(air_c, humidity) - dew_point(air_c, humidity)) < 1e-9


def test_the_bare_loop_finds_what_the_verdict_is_computed_from(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(engine, "READINGS", 40)
    judged = [one for one in engine.comparisons() if "thickness" in one.title]

    for one in judged:
        lowest, mean, below = cast(tuple[Decimal, Decimal, int], one.second())
        computed = cast(Verdict, one.first()).computed
        taken_off = 0 if "minimum" in one.title or "pa2" in one.title else 25
        found = Quantity.parse(computed["mean"])
        assert found.magnitude == mean - taken_off
        if "pa2" not in one.title:
            assert Quantity.parse(computed["lowest"]).magnitude == lowest - taken_off
        assert below == 0
    assert len(judged) == 5


def test_without_psychrolib_it_says_so_in_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "psychrolib", None)

    assert run("engine") == 2

    out, err = capsys.readouterr()
    assert out == ""
    assert err == "psychrolib is not installed; it comes with the test dependencies\n"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "the following arguments are required: what"),
        (("web",), "invalid choice: 'web'"),
        (("engine", "--rounds", "0"), "--rounds: 0 is not from 1 to 1000"),
        (("engine", "--rounds", "1001"), "--rounds: 1001 is not from 1 to 1000"),
        (("engine", "--rounds", "many"), "invalid int value: 'many'"),
    ],
)
def test_bad_arguments_are_refused_in_one_line(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], said: str
) -> None:
    assert run(*arguments) == 2

    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert said in err
