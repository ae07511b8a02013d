"""Two options for pytest, used by `manage.py test` when it runs the tests a second time."""

from pathlib import Path

import pytest

# They never touch the database of the run, so that a second one tells nothing new.
WITHOUT_DATABASE = (
    "tests/engine",
    "tests/management/suite",
    "tests/management/test_demo.py",
    "tests/management/test_judge.py",
    "tests/test_bootstrap.py",
    "tests/test_repository.py",
)

# They show what a form or the engine makes of what is typed, and keep next to nothing.
ALIKE_ON_EVERY_DATABASE = (
    "tests/web/test_characteristics.py",
    "tests/web/test_limits.py",
    "tests/web/test_offers.py",
    "tests/web/test_reading_form.py",
    "tests/web/test_senseless_limits.py",
    "tests/web/test_take_off_page.py",
    "tests/web/test_where_to_measure.py",
)


def pytest_addoption(parser: pytest.Parser) -> None:
    group = parser.getgroup("quality record")
    group.addoption(
        "--database-tests-only",
        action="store_true",
        help="leave out the tests that touch no database, the browser's, and those of forms",
    )
    group.addoption(
        "--failed-before",
        default="",
        help="names of the checks that failed before this run, shown at its end",
    )


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    if not config.getoption("--database-tests-only"):
        return None
    left_out = (config.rootpath / path for path in WITHOUT_DATABASE + ALIKE_ON_EVERY_DATABASE)
    return True if collection_path in left_out else None


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if not config.getoption("--database-tests-only"):
        return
    kept = [item for item in items if _wants(item)]
    config.hook.pytest_deselected(items=[item for item in items if item not in set(kept)])
    items[:] = kept


def _wants(item: pytest.Item) -> bool:
    """Whether a test touches the database of the run, other than through a browser."""
    asked = set(getattr(item, "fixturenames", ())) & {"db", "transactional_db"}
    marked = item.get_closest_marker("django_db") is not None
    return bool(asked or marked) and item.get_closest_marker("browser") is None


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    failed = config.getoption("--failed-before")
    if failed:
        terminalreporter.write_line(f"FAILED before this run: {failed}", red=True)
