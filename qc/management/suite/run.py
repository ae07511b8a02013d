"""Runs every check, says how each went, and ends with pytest's own closing line."""

import contextlib
import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TextIO

from qc.management.suite.checks import NO_DATABASE, PYTEST, STATIC_CHECKS
from qc.management.suite.cluster import NoCluster, private_cluster

NO_TEST_COLLECTED = 5


@dataclass
class Suite:
    """One run of `manage.py test` in the folder `root`; `pytest_arguments` go to pytest as is."""

    root: Path
    databases: Sequence[str]
    pytest_arguments: Sequence[str]
    out: TextIO = field(default_factory=lambda: sys.stdout)
    failed: list[str] = field(default_factory=list)

    def run(self) -> int:
        """Exit status: 0 if every check passed."""
        self._static_checks()
        ran = [self._pytest_on(database) for database in self.databases]
        nothing_ran = all(status == NO_TEST_COLLECTED for status in ran)
        return 1 if self.failed or nothing_ran else 0

    def _static_checks(self) -> None:
        environment = os.environ | {"DATABASE_URL": NO_DATABASE}
        for check in STATIC_CHECKS:
            finished = subprocess.run(
                check.command,
                cwd=self.root,
                env=environment,
                text=True,
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
            )
            if finished.returncode:
                self._say(finished.stdout.rstrip())
            self._note(check.name, finished.returncode == 0)

    def _pytest_on(self, database: str) -> int:
        name = f"pytest on {database}"
        self._say(f"{name} ...")
        try:
            with self._environment(database) as environment:
                status = self._pytest(database, environment)
        except NoCluster as reason:
            self._say(str(reason))
            status = 1
        passed = status in (0, NO_TEST_COLLECTED)
        if database == self.databases[-1]:
            # Nothing may follow pytest's closing line.
            self.failed += [] if passed else [name]
        else:
            self._note(name, passed)
        return status

    def _pytest(self, database: str, environment: dict[str, str]) -> int:
        command = [*PYTEST, "--numprocesses=auto", "--maxprocesses=4", "--dist=worksteal"]
        if database == "postgresql":
            command.append("--database-tests-only")
        if database == self.databases[-1] and self.failed:
            command.append(f"--failed-before={', '.join(self.failed)}")
        return subprocess.run(
            [*command, *self.pytest_arguments], cwd=self.root, env=environment
        ).returncode

    @contextlib.contextmanager
    def _environment(self, database: str) -> Iterator[dict[str, str]]:
        """The environment without the caller's own database; SQLite is the settings' default."""
        environment = {
            name: value
            for name, value in os.environ.items()
            if name != "DATABASE_URL" and not name.startswith("PG")
        }
        if database == "sqlite":
            yield environment
        else:
            with private_cluster() as address:
                yield environment | {"DATABASE_URL": address}

    def _note(self, name: str, passed: bool) -> None:
        self._say(f"{name:<24}{'passed' if passed else 'FAILED'}")
        if not passed:
            self.failed.append(name)

    def _say(self, line: str) -> None:
        self.out.write(f"{line}\n")
        self.out.flush()
