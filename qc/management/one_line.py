"""Commands whose refusals are one line on standard error and status 2."""

import sys
from typing import Any, NoReturn

from django.core.management.base import BaseCommand, CommandParser
from django.db import DatabaseError

_LONGEST_LINE = 400


class BadUse(Exception):
    """The command can't do what it was asked; the message says why."""


class OneLineCommand(BaseCommand):
    """`answer` does the work and returns the exit status; a refusal is one line and status 2.

    `refusals` are the exceptions whose message is the line.
    """

    refusals: tuple[type[Exception], ...] = (BadUse,)
    requires_system_checks: tuple[str, ...] = ()

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> CommandParser:
        """A parser whose refusals are one line too."""
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        parser.error = self._refuse  # type: ignore[method-assign]
        return parser

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            status = self.answer(options)
        except self.refusals as refusal:
            self._refuse(str(refusal))
        except DatabaseError as problem:
            self._refuse(f"The database can't be used: {problem}")
        if status:
            sys.exit(status)

    def answer(self, options: dict[str, Any]) -> int:
        """Do what the options ask; the exit status."""
        raise NotImplementedError

    def say(self, line: str) -> None:
        """One line on standard output, at once."""
        self.stdout.write(line)
        self.stdout.flush()

    def _refuse(self, message: str) -> NoReturn:
        self.stderr.write(one_line(message))
        sys.exit(2)


def one_line(message: str) -> str:
    """The message without line breaks or characters that a terminal would act upon."""
    seen = "".join(c if c.isprintable() else " " for c in message)
    return seen if len(seen) <= _LONGEST_LINE else f"{seen[:_LONGEST_LINE]}..."
