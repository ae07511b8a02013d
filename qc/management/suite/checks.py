"""The list of checks that `manage.py test` runs."""

import sys
from dataclasses import dataclass
from pathlib import Path

# lint-imports has no `python -m` form.
LINT_IMPORTS = str(Path(sys.executable).with_name("lint-imports"))
# Where the migrations check looks for applied migrations: nowhere, so that no database matters.
NO_DATABASE = "sqlite://:memory:"
PYTEST = (sys.executable, "-m", "pytest", "-p", "qc.management.suite.pytest_plugin")


@dataclass(frozen=True)
class Check:
    """A program to run in the project's folder; exit status 0 is a pass."""

    name: str
    command: tuple[str, ...]


STATIC_CHECKS = (
    Check("ruff check", (sys.executable, "-m", "ruff", "check", "--quiet", ".")),
    Check("ruff format", (sys.executable, "-m", "ruff", "format", "--check", "--quiet", ".")),
    Check("mypy", (sys.executable, "-m", "mypy", "--no-error-summary")),
    Check("import-linter", (LINT_IMPORTS, "--no-cache", "--no-logo")),
    Check(
        "migrations",
        (sys.executable, "manage.py", "makemigrations", "--check", "--dry-run"),
    ),
)
