"""The preparation of the machine, at its door, with the parts of pip and apt-get played."""

import os
import shutil
import stat
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from qc.bootstrap import system_packages
from qc.bootstrap.report import CannotContinue
from qc.bootstrap.system_packages import Need

ROOT = Path(__file__).resolve().parents[1]
PYPROJECT = """
[project]
dependencies = ["django>=5.2"]
[project.optional-dependencies]
test = ["pytest"]
"""
# Stands for the environment's Python: notes how it was called; pip answers as PIP_SAYS tells.
PLAYED_PYTHON = """#!/bin/sh
echo "$*" >> "{root}/calls"
case "$*" in
  *"-m pip"*)
    echo "Collecting django>=5.2"
    echo "  noise"
    echo "$PIP_SAYS"
    exit "${{PIP_EXIT:-0}}";;
  *manage.py*) echo "ran $*";;
esac
"""
PLAYED_APT_GET = """#!/bin/sh
echo "$*" >> "{root}/apt-calls"
case "$*" in
  *install*) echo "Setting up qpdf (11.3.0-1) ..."; echo "$APT_SAYS"; exit "${{APT_EXIT:-0}}";;
esac
"""


@dataclass
class Machine:
    """A folder with the project's door in it, and programs of our own on the path."""

    root: Path
    variables: dict[str, str] = field(default_factory=dict)

    def run(self, *arguments: str, **variables: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, str(self.root / "manage.py"), *arguments],
            capture_output=True,
            text=True,
            cwd=self.root,
            env=self.variables | variables,
        )

    def calls(self, name: str = "calls") -> list[str]:
        path = self.root / name
        return path.read_text().splitlines() if path.exists() else []

    def installs(self) -> list[str]:
        return [call for call in self.calls() if "pip install" in call]

    def program(self, path: Path, text: str) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text.format(root=self.root))
        path.chmod(path.stat().st_mode | stat.S_IXUSR)


@pytest.fixture
def machine(tmp_path: Path) -> Machine:
    shutil.copy(ROOT / "manage.py", tmp_path)
    shutil.copytree(ROOT / "qc" / "bootstrap", tmp_path / "qc" / "bootstrap")
    (tmp_path / "qc" / "__init__.py").touch()
    (tmp_path / "pyproject.toml").write_text(PYPROJECT)
    (tmp_path / ".ci").mkdir()
    (tmp_path / ".ci" / "constraints.txt").write_text("django==5.2\n")
    machine = Machine(tmp_path, {"PATH": os.environ["PATH"]})
    machine.program(tmp_path / ".venv" / "bin" / "python", PLAYED_PYTHON)
    return machine


def test_the_first_run_installs_the_pinned_packages_and_then_runs_the_command(
    machine: Machine,
) -> None:
    finished = machine.run("judge", "case.json")

    constraints = machine.root / ".ci" / "constraints.txt"
    assert machine.installs()[0].endswith(f"--constraint {constraints} django>=5.2")
    assert finished.stdout == f"ran {machine.root}/manage.py judge case.json\n"
    assert finished.returncode == 0


def test_progress_is_told_in_short_lines_on_standard_error(machine: Machine) -> None:
    said = machine.run("judge").stderr

    assert "  collecting django\n" in said
    assert "noise" not in said


def test_the_second_run_asks_pip_nothing(machine: Machine) -> None:
    machine.run("judge")
    finished = machine.run("judge")

    assert len(machine.installs()) == 1
    assert finished.stderr == ""


def test_the_tests_packages_are_installed_for_the_tests_only(machine: Machine) -> None:
    machine.run("judge")
    machine.run("test")
    machine.run("judge")

    runtime, tests = machine.installs()
    assert not runtime.endswith("pytest")
    assert tests.endswith("django>=5.2 pytest")


@pytest.mark.parametrize("name", ["pyproject.toml", ".ci/constraints.txt"])
def test_a_change_of_what_is_asked_for_installs_again(machine: Machine, name: str) -> None:
    machine.run("judge")
    path = machine.root / name
    path.write_text(path.read_text().replace("5.2", "5.2.1"))
    machine.run("judge")

    assert len(machine.installs()) == 2


def test_a_failed_install_says_why_in_one_line_and_goes_on_the_next_time(machine: Machine) -> None:
    failed = machine.run("judge", PIP_SAYS="ERROR: No space left on device", PIP_EXIT="1")
    resumed = machine.run("judge")

    assert failed.returncode == 2
    assert failed.stdout == ""
    last = failed.stderr.splitlines()[-1]
    assert last == "Could not install the Python packages: ERROR: No space left on device"
    assert resumed.returncode == 0
    assert len(machine.installs()) == 2


def test_a_failed_update_does_not_leave_the_earlier_install_counted_as_good(
    machine: Machine,
) -> None:
    machine.run("judge")
    wanted = (machine.root / "pyproject.toml").read_text()
    (machine.root / "pyproject.toml").write_text(wanted.replace("django>=5.2", "django>=99"))
    machine.run("judge", PIP_SAYS="ERROR: interrupted", PIP_EXIT="1")
    (machine.root / "pyproject.toml").write_text(wanted)
    machine.run("judge")

    assert len(machine.installs()) == 3


def test_an_index_out_of_reach_is_named_as_the_reason(machine: Machine) -> None:
    says = "WARNING: Retrying (Retry(total=4)) after connection broken by 'NewConnectionError'"
    failed = machine.run("judge", PIP_SAYS=says, PIP_EXIT="1")

    assert "the package index cannot be reached" in failed.stderr.splitlines()[-1]


def test_an_environment_without_a_working_python_is_made_anew(machine: Machine) -> None:
    (machine.root / ".venv" / "bin" / "python").write_text("#!/no/such/python\n")
    finished = machine.run("judge", PIP_NO_INDEX="1", PIP_FIND_LINKS="")

    assert "Making" in finished.stderr
    assert (machine.root / ".venv" / "pyvenv.cfg").exists()
    assert finished.returncode == 2
    assert finished.stderr.splitlines()[-1].startswith("Could not install the Python packages")


def test_a_process_that_does_not_land_in_its_own_python_does_not_loop(machine: Machine) -> None:
    # An environment whose Python takes itself for another one's.
    machine.run("judge")
    outside = f'#!/bin/sh\nexec "{sys.executable}" "$@"\n'
    machine.program(machine.root / ".venv" / "bin" / "python", outside)
    finished = machine.run("judge")

    assert finished.returncode == 2
    assert "does not run in" in finished.stderr.splitlines()[-1]


def test_an_older_python_is_refused_in_one_line() -> None:
    door = "import sys; sys.version_info = (3, 9); sys.version = '3.9.2 (main)'; import manage; "
    finished = subprocess.run(
        [sys.executable, "-c", f"{door} manage.main()"], cwd=ROOT, capture_output=True, text=True
    )

    assert finished.returncode == 2
    assert finished.stderr == "Python 3.11 or newer is needed; this is 3.9.2.\n"


def test_the_preparation_needs_nothing_but_the_standard_library() -> None:
    program = f"import sys; sys.path.insert(0, {str(ROOT)!r}); import qc.bootstrap"
    finished = subprocess.run(
        [sys.executable, "-I", "-S", "-c", program], capture_output=True, text=True
    )

    assert (finished.returncode, finished.stderr) == (0, "")


def _bare(machine: Machine, with_apt_get: bool = True) -> Mapping[str, str]:
    """A path on which a shell and, if asked for, apt-get are all that is found."""
    programs = machine.root / "programs"
    programs.mkdir()
    if with_apt_get:
        machine.program(programs / "apt-get", PLAYED_APT_GET)
    return {"PATH": str(programs)}


@pytest.mark.skipif(os.geteuid() != 0, reason="only root installs packages of the system")
def test_root_installs_what_the_tests_miss_with_apt_get(machine: Machine) -> None:
    finished = machine.run("test", **_bare(machine))

    update, install = machine.calls("apt-calls")
    assert update.endswith("update")
    assert {"chromium", "poppler-utils", "qpdf"} <= set(install.split())
    assert "  setting up qpdf\n" in finished.stderr


@pytest.mark.skipif(os.geteuid() != 0, reason="only root installs packages of the system")
def test_what_apt_get_did_not_bring_is_named(machine: Machine) -> None:
    finished = machine.run("test", **_bare(machine))

    assert finished.returncode == 2
    last = finished.stderr.splitlines()[-1]
    assert last.startswith("Still missing after apt-get: Chromium, ")


@pytest.mark.skipif(os.geteuid() != 0, reason="only root installs packages of the system")
def test_a_failure_of_apt_get_says_why_in_one_line(machine: Machine) -> None:
    says = "E: Unable to locate package chromium"
    finished = machine.run("test", **_bare(machine), APT_SAYS=says, APT_EXIT="100")

    assert finished.returncode == 2
    assert finished.stderr.splitlines()[-1].endswith(says)


def test_without_a_package_manager_what_is_missing_is_said_in_one_line(machine: Machine) -> None:
    finished = machine.run("test", **_bare(machine, with_apt_get=False))

    assert finished.returncode == 2
    (line,) = finished.stderr.splitlines()
    assert line.startswith("Missing: Chromium, ")
    assert line.endswith("Install with this system's package manager.")


def test_judging_asks_nothing_of_the_system(machine: Machine) -> None:
    finished = machine.run("judge", **_bare(machine, with_apt_get=False))

    assert finished.returncode == 0


def _missing(name: str) -> Need:
    return Need(name, lambda: False, {"apt-get": (f"lib{name}",), "brew": (name,)})


def _alone_on_path(name: str, monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    (folder / name).write_text("#!/bin/sh\n")
    (folder / name).chmod(0o700)
    monkeypatch.setenv("PATH", str(folder))


@pytest.mark.parametrize(
    ("manager", "line"),
    [
        ("apt-get", "sudo apt-get update && sudo apt-get install -y liba libb"),
        ("brew", "brew install a b"),
    ],
)
def test_anyone_but_root_is_given_the_line_to_type(
    manager: str, line: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    _alone_on_path(manager, monkeypatch, tmp_path)
    monkeypatch.setattr(os, "geteuid", lambda: 1000)

    with pytest.raises(CannotContinue) as refusal:
        system_packages.provide([_missing("a"), _missing("b")])

    assert str(refusal.value) == f"Missing: a, b. Type: {line}"


def test_nothing_is_asked_for_when_nothing_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")

    system_packages.provide([Need("Pango", lambda: True, {})])


def test_the_tests_need_all_that_a_page_needs() -> None:
    pages = {need.what for need in system_packages.needs_of("demo")}
    tests = {need.what for need in system_packages.needs_of("test")}

    assert pages
    assert pages < tests


def test_every_need_names_its_packages_for_every_package_manager() -> None:
    for need in system_packages.needs_of("test"):
        assert need.packages.keys() == system_packages.INSTALL_LINES.keys()
        assert all(need.packages.values())
