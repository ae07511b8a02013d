#!/usr/bin/env python3
"""Runs the project's commands; brings along the environment that they need (see qc/bootstrap)."""

import os
import sys


def main() -> None:
    if sys.version_info < (3, 11):  # noqa: UP036 - an older Python gets a sentence, not a SyntaxError
        sys.stderr.write(f"Python 3.11 or newer is needed; this is {sys.version.split()[0]}.\n")
        sys.exit(2)
    if os.name != "posix":
        sys.stderr.write("Linux or macOS is needed; on Windows, its Linux subsystem serves.\n")
        sys.exit(2)

    from qc.bootstrap import enter

    enter(sys.argv)

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "qc.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
