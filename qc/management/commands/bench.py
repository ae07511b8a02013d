"""`manage.py bench engine`: what judging costs, as ratios measured in one process."""

from argparse import ArgumentParser
from typing import Any

from qc.management.bench.alternation import Ratio, alternated
from qc.management.bench.engine import Comparison, comparisons
from qc.management.one_line import BadUse, OneLineCommand

ROUNDS = 15
_MOST_ROUNDS = 1000


class Command(OneLineCommand):
    """It measures and prints; it judges nothing and fails nobody."""

    help = "Measures the engine against bare arithmetic and psychrolib; prints ratios of times."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("what", choices=["engine"])
        parser.add_argument(
            "--rounds", type=int, default=ROUNDS, metavar="N", help=f"rounds of each ({ROUNDS})"
        )

    def answer(self, options: dict[str, Any]) -> int:
        """Print a ratio a line, as each is measured."""
        rounds = options["rounds"]
        if not 1 <= rounds <= _MOST_ROUNDS:
            raise BadUse(f"--rounds: {rounds} is not from 1 to {_MOST_ROUNDS}")
        try:
            compared = list(comparisons())
        except ModuleNotFoundError as missing:
            said = f"{missing.name} is not installed; it comes with the test dependencies"
            raise BadUse(said) from None
        self.say(f"Median ratio of times (middle half) of {rounds} alternated rounds")
        for one in compared:
            self.say(_line(one, alternated(one.first, one.second, rounds)))
        return 0


def _line(one: Comparison, ratio: Ratio) -> str:
    lower, upper = ratio.spread
    aim = f"; aimed at: {one.aim}" if one.aim else ""
    return f"{ratio.middle:8.2f} ({lower:.2f} to {upper:.2f})  {one.title}{aim}"
