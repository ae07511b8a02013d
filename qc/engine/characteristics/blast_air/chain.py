"""The tests of one outlet in order, and how long the air ran between them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from itertools import pairwise

from qc.engine.fields import Values
from qc.engine.formulas.elapsed import hours_between, hours_of


@dataclass(frozen=True)
class ClothTest:
    """A test by its number in the record."""

    number: int
    reading: Values

    @property
    def at(self) -> datetime | None:
        """When the cloth was held in the air."""
        return self.reading.moment("at")

    @property
    def until(self) -> datetime | None:
        """When blasting ended, where it ended before the next test."""
        return self.reading.moment("until")

    @property
    def meter(self) -> Fraction | None:
        """Operating hours that the compressor's meter showed."""
        shown = self.reading.quantity("hour_meter")
        return None if shown is None else hours_of(shown)

    @property
    def starts_up(self) -> bool:
        """True for a test at start-up, before which the air did not run."""
        return self.reading.text("occasion") == "start_up"


@dataclass(frozen=True)
class Run:
    """How long the air ran after a test, in hours; `most` where no more than that is known."""

    after: ClothTest
    hours: Fraction
    most: bool = False


def by_outlet(tests: Sequence[ClothTest]) -> dict[str, list[ClothTest]]:
    """The tests of each outlet, in order of time or of the meter, else as they were recorded."""
    outlets: dict[str, list[ClothTest]] = {}
    for test in tests:
        name = " ".join(test.reading.text("outlet").casefold().split())
        outlets.setdefault(name, []).append(test)
    return {name: _in_order(found) for name, found in outlets.items()}


def _in_order(tests: list[ClothTest]) -> list[ClothTest]:
    timed = [(at, test) for test in tests if (at := test.at) is not None]
    if len(timed) == len(tests):
        return [test for _, test in sorted(timed, key=lambda pair: pair[0])]
    metered = [(meter, test) for test in tests if (meter := test.meter) is not None]
    if len(metered) == len(tests):
        return [test for _, test in sorted(metered, key=lambda pair: pair[0])]
    return tests


def runs(tests: Sequence[ClothTest]) -> list[Run | ClothTest]:
    """The run after each test, or the test itself where nothing tells how long it lasted.

    `tests` are those of one outlet in order. While blasting goes on, nothing is said of the last.
    """
    found: list[Run | ClothTest] = [
        _between(test, following) or test for test, following in pairwise(tests)
    ]
    last = tests[-1]
    return [*found, _ended(last) or last] if last.until else found


def _between(test: ClothTest, following: ClothTest) -> Run | None:
    """By the meter; by the end of blasting where a start-up follows; else by the clock.

    Over a stop the clock tells only how long the air ran at most.
    """
    if test.meter is not None and following.meter is not None:
        return Run(test, following.meter - test.meter)
    if test.at is None or following.at is None:
        return None
    if following.starts_up and test.until:
        return _ended(test) if test.until <= following.at else None
    return Run(test, hours_between(test.at, following.at), most=following.starts_up)


def _ended(test: ClothTest) -> Run | None:
    return Run(test, hours_between(test.at, test.until)) if test.at and test.until else None
