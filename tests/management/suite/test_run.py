"""One run of all checks, on a small project: what is said, in which order, and the exit status."""

import sys
from pathlib import Path

import pytest

from qc.management.suite import run
from qc.management.suite.checks import Check
from qc.management.suite.run import Suite

ROOT = Path(__file__).resolve().parents[3]
GOOD = Check("good", (sys.executable, "-c", ""))
BAD = Check("bad", (sys.executable, "-c", "import sys; sys.exit('a line is too long')"))
SETTINGS = """
[tool.pytest.ini_options]
markers = ["browser", "django_db"]
"""
DATABASE_TEST = """
import os
import pytest
@pytest.mark.django_db
def test_which_database():
    assert os.environ.get("DATABASE_URL", "").startswith("{address}")
"""
BROWSER_TEST = """
import pytest
@pytest.mark.browser
def test_a_page(): pass
"""


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    # The small project has no Django settings and no properties to test.
    monkeypatch.setenv("PYTEST_DISABLE_PLUGIN_AUTOLOAD", "1")
    monkeypatch.setenv("PYTEST_PLUGINS", "xdist.plugin")
    monkeypatch.setenv("DATABASE_URL", "postgresql://nobody@nowhere/elsewhere")
    monkeypatch.setattr(run, "STATIC_CHECKS", (GOOD,))
    (tmp_path / "pyproject.toml").write_text(SETTINGS)
    (tmp_path / "tests" / "engine").mkdir(parents=True)
    (tmp_path / "tests" / "engine" / "test_engine.py").write_text("def test_engine(): pass\n")
    (tmp_path / "tests" / "test_browser.py").write_text(BROWSER_TEST)
    (tmp_path / "tests" / "test_database.py").write_text(DATABASE_TEST.format(address=""))
    return tmp_path


def _run(project: Path, *databases: str, arguments: tuple[str, ...] = ()) -> int:
    return Suite(project, databases, ("--numprocesses=0", *arguments)).run()


def test_when_all_is_well_the_status_is_zero_and_pytest_has_the_last_word(
    project: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    status = _run(project, "sqlite")

    said = capfd.readouterr().out.splitlines()
    assert status == 0
    assert said[0].split() == ["good", "passed"]
    assert "= 3 passed in " in said[-1]


def test_a_failed_check_is_shown_named_and_fails_the_run(
    project: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(run, "STATIC_CHECKS", (BAD, GOOD))
    status = _run(project, "sqlite")

    said = capfd.readouterr().out.splitlines()
    assert status == 1
    assert said[0] == "a line is too long"
    assert said[1].split() == ["bad", "FAILED"]
    assert said[-2] == "FAILED before this run: bad"
    assert "= 3 passed in " in said[-1]


def test_a_failed_test_fails_the_run(project: Path) -> None:
    (project / "tests" / "test_wrong.py").write_text("def test_wrong(): assert False\n")

    assert _run(project, "sqlite") == 1


def test_a_failure_on_the_first_database_is_named_at_the_end_of_the_second(
    project: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    database_test = DATABASE_TEST.format(address="postgresql://qc@")
    (project / "tests" / "test_database.py").write_text(database_test)
    status = _run(project, "sqlite", "postgresql")

    said = capfd.readouterr().out.splitlines()
    assert status == 1
    assert said[-2] == "FAILED before this run: pytest on sqlite"
    assert "= 1 passed, 1 deselected in " in said[-1]


def test_the_callers_own_database_is_never_used(project: Path) -> None:
    unset = 'import os\ndef test_unset(): assert "DATABASE_URL" not in os.environ\n'
    (project / "tests" / "test_database.py").write_text(unset)

    assert _run(project, "sqlite") == 0


def test_what_touches_no_database_is_left_out_of_the_second_run(
    project: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    _run(project, "postgresql")

    assert "= 1 passed, 1 deselected in " in capfd.readouterr().out.splitlines()[-1]


def test_arguments_reach_pytest(project: Path, capfd: pytest.CaptureFixture[str]) -> None:
    status = _run(project, "sqlite", arguments=("tests/engine", "-k", "engine"))

    assert status == 0
    assert "= 1 passed in " in capfd.readouterr().out.splitlines()[-1]


def test_a_run_of_engine_tests_alone_may_find_nothing_to_do_on_the_second_database(
    project: Path,
) -> None:
    assert _run(project, "sqlite", "postgresql", arguments=("tests/engine",)) == 0


def test_a_run_that_finds_no_test_at_all_fails(project: Path) -> None:
    assert _run(project, "sqlite", arguments=("-k", "nothing_is_called_so")) == 1
