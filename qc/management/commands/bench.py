"""`manage.py bench engine`: what judging costs, as ratios measured in one process."""

import sys
from argparse import ArgumentParser
from typing import Any, NoReturn

from django.core.management.base import BaseCommand, CommandParser

from qc.management.bench.alternation import Ratio, alternated
from qc.management.bench.engine import Comparison, comparisons

ROUNDS = 15
_MOST_ROUNDS = 1000


class Command(BaseCommand):
    """It measures and prints; it judges nothing and fails nobody."""

    help = "Measures the engine against bare arithmetic and psychrolib; prints ratios of times."
    requires_system_checks: tuple[str, ...] = ()

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> CommandParser:
        """A parser whose refusals are one line."""
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        parser.error = self._refuse  # type: ignore[method-assign]
        return parser

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("what", choices=["engine"])
        parser.add_argument(
            "--rounds", type=int, default=ROUNDS, metavar="N", help=f"rounds of each ({ROUNDS})"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        rounds = options["rounds"]
        if not 1 <= rounds <= _MOST_ROUNDS:
            self._refuse(f"--rounds: {rounds} is not from 1 to {_MOST_ROUNDS}")
        try:
            compared = list(comparisons())
        except ModuleNotFoundError as missing:
            self._refuse(f"{missing.name} is not installed; it comes with the test dependencies")
        self.stdout.write(f"Median ratio of times (middle half) of {rounds} alternated rounds")
        for one in compared:
            self.stdout.write(_line(one, alternated(one.first, one.second, rounds)))
            self.stdout.flush()

    def _refuse(self, message: str) -> NoReturn:
        self.stderr.write(" ".join(message.split()))
        sys.exit(2)


def _line(one: Comparison, ratio: Ratio) -> str:
    lower, upper = ratio.spread
    aim = f"; aimed at: {one.aim}" if one.aim else ""
    return f"{ratio.middle:8.2f} ({lower:.2f} to {upper:.2f})  {one.title}{aim}"
