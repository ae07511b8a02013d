"""`manage.py test`: every check of the project, in place of Django's own test runner."""

import argparse
import signal
import sys
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand

from qc.management.suite.run import Suite

DATABASES = {"both": ("sqlite", "postgresql"), "sqlite": ("sqlite",), "postgresql": ("postgresql",)}


class Command(BaseCommand):
    """What it does not know itself it hands to pytest, so it reads its arguments on its own."""

    help = "Run ruff, mypy, import-linter, the migrations check and pytest on both databases."

    def run_from_argv(self, argv: list[str]) -> None:
        parser = argparse.ArgumentParser(
            prog=f"{Path(argv[0]).name} {argv[1]}",
            description=self.help,
            epilog="Other arguments go to pytest, for example: tests/engine -k dew_point",
            allow_abbrev=False,
        )
        parser.add_argument("--database", choices=DATABASES, default="both")
        options, for_pytest = parser.parse_known_args(argv[2:])
        # So that the cluster is stopped and removed when the run is told to end.
        signal.signal(signal.SIGTERM, lambda number, frame: sys.exit(128 + number))
        suite = Suite(Path(settings.BASE_DIR), DATABASES[options.database], for_pytest)
        try:
            status = suite.run()
        except KeyboardInterrupt:
            status = 130
        sys.exit(status)
