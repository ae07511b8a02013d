"""How the preparation of the machine speaks: short lines on standard error."""

import os
import subprocess
import sys
from collections.abc import Callable, Mapping


class CannotContinue(Exception):
    """The machine cannot be made ready; the message is the one line to show. Exit status 2."""


def say(line: str) -> None:
    """Standard error, because `manage.py judge` promises nothing but JSON on standard output."""
    sys.stderr.write(f"{line}\n")
    sys.stderr.flush()


def follow(
    command: list[str],
    step: Callable[[str], str | None],
    environment: Mapping[str, str] = os.environ,
) -> tuple[int, list[str]]:
    """Run a talkative tool and say only its steps: `step` turns a line into what to say, or None.

    Returns the exit status and every line, standard error included.
    """
    lines = []
    with subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        env=environment,
    ) as tool:
        for line in tool.stdout or ():
            lines.append(line.strip())
            told = step(line)
            if told:
                say(f"  {told}")
    return tool.returncode, lines
