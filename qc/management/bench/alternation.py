"""Times two ways to the same end turn about, so that a busy moment of the machine hits both."""

import gc
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median, quantiles
from time import process_time

Work = Callable[[], object]
Clock = Callable[[], float]


@dataclass(frozen=True)
class Ratio:
    """How many times as long the first takes as the second, round by round."""

    rounds: tuple[float, ...]

    @property
    def middle(self) -> float:
        """The median of the rounds."""
        return median(self.rounds)

    @property
    def spread(self) -> tuple[float, float]:
        """Between which the middle half of the rounds lies."""
        if len(self.rounds) == 1:
            return self.rounds[0], self.rounds[0]
        lower, _, upper = quantiles(self.rounds, n=4, method="inclusive")
        return lower, upper


def alternated(first: Work, second: Work, rounds: int, clock: Clock = process_time) -> Ratio:
    """The time of `first` over that of `second`, `rounds` times after one round that warms up.

    It is this process's time on the processor, so that others on the machine count little. Which of
    the two goes first changes from round to round, and no garbage is collected meanwhile.
    """
    pair = (first, second)
    found = []
    for number in range(rounds + 1):
        gc.collect()
        order = (0, 1) if number % 2 else (1, 0)
        taken = dict.fromkeys(order, 0.0)
        for which in order:
            taken[which] = _timed(pair[which], clock)
        found.append(taken[0] / taken[1])
    return Ratio(tuple(found[1:]))


def _timed(work: Work, clock: Clock) -> float:
    was_collecting = gc.isenabled()
    gc.disable()
    try:
        start = clock()
        work()
        return clock() - start
    finally:
        if was_collecting:
            gc.enable()
