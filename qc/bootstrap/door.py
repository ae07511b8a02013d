"""Makes the machine ready for a command, and runs the command in the project's own Python."""

import os
import sys
from pathlib import Path

from qc.bootstrap import python_environment, system_packages
from qc.bootstrap.report import CannotContinue, say

PROJECT = Path(__file__).resolve().parents[2]
RUNS_AGAIN = "QC_RUNS_IN_ITS_OWN_PYTHON"


def enter(arguments: list[str]) -> None:
    """Return when `arguments` (as `sys.argv`) may run here; otherwise prepare and start them again.

    Ends the process with status 2 and one line when the machine cannot be made ready.
    """
    try:
        _prepare(arguments)
    except CannotContinue as reason:
        say(str(reason))
        sys.exit(2)
    except KeyboardInterrupt:
        say("Stopped. The same command goes on from here.")
        sys.exit(130)


def _prepare(arguments: list[str]) -> None:
    command = arguments[1] if len(arguments) > 1 else "help"
    system_packages.provide(system_packages.needs_of(command))
    environment = python_environment.Environment(PROJECT)
    changed = environment.provide("test" if command == "test" else "runtime")
    if environment.is_running_here() and not changed:
        return
    if os.environ.get(RUNS_AGAIN) == str(os.getpid()):
        raise CannotContinue(f"{environment.python} does not run in {environment.folder}.")
    # exec keeps the process id, so that the mark stops this process and none that it starts.
    os.environ[RUNS_AGAIN] = str(os.getpid())
    os.execv(environment.python, [str(environment.python), *arguments])
