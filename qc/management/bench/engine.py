"""The engine against bare arithmetic over the same numbers, and against a library for the same."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from importlib import import_module
from itertools import product
from math import log
from typing import Any

from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.formulas.psychrometrics import (
    Formula,
    air_from_humidity,
    dew_point,
    hyland_wexler_dew_point,
)
from qc.management.bench.alternation import Work

READINGS = 10_000
_NOMINAL = Decimal(300)
_SPOT = 4

Pairs = list[tuple[float, float]]


@dataclass(frozen=True)
class Comparison:
    """How many times as long `first` takes as `second`, and what is aimed at, if anything."""

    title: str
    first: Work
    second: Work
    aim: str = ""


def comparisons() -> Iterator[Comparison]:
    """All of them. ModuleNotFoundError where psychrolib, a test dependency, is missing."""
    pairs = [(float(t), float(rh)) for t, rh in product(range(-20, 46, 5), range(5, 101, 5))]
    yield from _dew_points(pairs, _psychrolib_dew_point())
    yield from _thicknesses()


def _dew_points(pairs: Pairs, reference: Callable[[float, float], float]) -> Iterator[Comparison]:
    ours, bare = _each(pairs, dew_point, 20), _each(pairs, magnus_one_liner, 20)
    air = _each(pairs, partial(air_from_humidity, Formula.WMO_2008), 20)
    yield Comparison("dew point / bare Magnus one-liner", ours, bare, "at most 5")
    yield Comparison("dew point, frost point and checks / bare Magnus one-liner", air, bare)
    # As many calls on both sides, or the ratio would be of the numbers of calls.
    theirs, once = _each(pairs, reference, 1), _each(pairs, dew_point, 1)
    yield Comparison("psychrolib / dew point", theirs, once, "at least 4")
    same = _each(pairs, hyland_wexler_dew_point, 1)
    yield Comparison("psychrolib / dew point by its own formula, Hyland-Wexler", theirs, same)


def magnus_one_liner(air_c: float, humidity: float) -> float:
    """The dew point as one would write it down: degC from degC and per cent."""
    x = log(humidity / 100) + 17.62 * air_c / (243.12 + air_c)
    return 243.12 * x / (17.62 - x)


def _psychrolib_dew_point() -> Callable[[float, float], float]:
    library: Any = import_module("psychrolib")
    library.SetUnitSystem(library.SI)

    def reference(air_c: float, humidity: float) -> float:
        return float(library.GetTDewPointFromRelHum(air_c, humidity / 100))

    return reference


def _each(pairs: Pairs, function: Callable[[float, float], object], times: int) -> Work:
    def work() -> None:
        for _ in range(times):
            for air_c, humidity in pairs:
                function(air_c, humidity)

    return work


def _thicknesses() -> Iterator[Comparison]:
    values = [Decimal(3200 + (i * 7919) % 400) / 10 for i in range(READINGS)]
    bare, written = partial(bare_loop, values, _NOMINAL), [f"{value} um" for value in values]
    nominal = {"nominal": "300 um", "surface_profile": "medium"}
    for criteria, each in (
        (nominal | {"rule": "iso19840"}, 1),
        (nominal | {"rule": "90-10"}, 1),
        ({"rule": "minimum", "min": "300 um"}, 1),
        (nominal | {"rule": "iso19840"}, READINGS),
        ({"rule": "pa2", "min": "300 um"}, _SPOT),
    ):
        lists = [written[i : i + each] for i in range(0, READINGS, each)]
        one_by_one = "one by one" if each == 1 else f"{each} at a time"
        title = f"judging {READINGS} thickness readings by {criteria['rule']}, {one_by_one}"
        # Spots of SSPC-PA 2 are means first; the bare loop over single values has none.
        aim = "" if each == _SPOT else "at most 10"
        yield Comparison(f"{title} / bare loop", _judging(criteria, lists), bare, aim)


def _judging(criteria: dict[str, str], lists: list[list[str]]) -> Work:
    thickness = CHARACTERISTICS["thickness"]
    asked = thickness.parse_criteria(criteria)
    readings = [thickness.parse_reading({"values": values}) for values in lists]
    return partial(thickness.judge, asked, readings)


def bare_loop(values: list[Decimal], nominal: Decimal) -> tuple[Decimal, Decimal, int]:
    """The least that answers the same question: lowest, mean, and how many below nominal."""
    return min(values), sum(values, Decimal(0)) / len(values), sum(v < nominal for v in values)
