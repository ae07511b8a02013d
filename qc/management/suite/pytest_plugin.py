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
    # These do have one; what they are about is rules, terms and wording, alike on every one.
    "tests/workflow/test_any_sequence.py",
    "tests/workflow/test_notices.py",
    "tests/workflow/test_outline.py",
    "tests/workflow/test_plan_comments.py",
    "tests/workflow/test_plan_revisions.py",
    "tests/workflow/test_plans.py",
    "tests/workflow/test_point_terms.py",
    "tests/workflow/test_qualified_people.py",
    "tests/workflow/test_window_doubts.py",
)

# Pages keep next to nothing themselves: of theirs those run twice that ask questions of their own.
PAGES = "tests/web"
PAGES_THAT_ASK = (
    "test_access.py",
    "test_component.py",
    "test_register.py",
)


def pytest_addoption(parser: pytest.Parser) -> None:
    group = parser.getgroup("quality record")
    group.addoption(
        "--database-tests-only",
        action="store_true",
        help="leave out the tests that touch no database, the browser's, and most of the pages'",
    )
    group.addoption(
        "--failed-before",
        default="",
        help="names of the checks that failed before this run, shown at its end",
    )


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    if not config.getoption("--database-tests-only"):
        return None
    left_out = (config.rootpath / path for path in WITHOUT_DATABASE)
    is_page = collection_path.parent == config.rootpath / PAGES and collection_path.is_file()
    is_left_out = is_page and collection_path.name not in PAGES_THAT_ASK
    return True if is_left_out or collection_path in left_out else None


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
