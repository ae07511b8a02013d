"""The project's own Python, `.venv`: made, filled and kept in step with pyproject.toml."""

import contextlib
import fcntl
import hashlib
import importlib.util
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

from qc.bootstrap import system_packages
from qc.bootstrap.report import CannotContinue, follow, say


class Environment:
    """`.venv` of the project in folder `root`. A group of packages is `runtime` or `test`."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.folder = root / ".venv"
        self.python = self.folder / "bin" / "python"
        self.constraints = root / ".ci" / "constraints.txt"

    def is_running_here(self) -> bool:
        return Path(sys.prefix).resolve() == self.folder.resolve()

    def is_up_to_date(self, group: str) -> bool:
        stamp = self._stamp(group)
        return stamp.exists() and stamp.read_text() == self.digest(group)

    def requirements(self, group: str) -> list[str]:
        """The packages that a group asks for; `test` includes `runtime`."""
        project = tomllib.loads((self.root / "pyproject.toml").read_text())["project"]
        runtime: list[str] = project["dependencies"]
        extra: list[str] = project["optional-dependencies"]["test"] if group == "test" else []
        return runtime + extra

    def digest(self, group: str) -> str:
        """Changes with what is asked for, with the pinned versions and with the Python in use."""
        parts = [*self.requirements(group), self.constraints.read_text()]
        return hashlib.sha256(
            "\n".join([*parts, os.path.realpath(self.python)]).encode()
        ).hexdigest()

    def provide(self, group: str) -> bool:
        """Bring the environment up to date. True if anything had to be done."""
        if self.is_up_to_date(group):
            return False
        with _one_at_a_time(self.root):
            if not self.is_up_to_date(group):
                self._make()
                self._fill(group)
        return True

    def _stamp(self, group: str) -> Path:
        return self.folder / f"installed-{group}"

    def _make(self) -> None:
        if self._has_pip():
            return
        _require_ensurepip()
        say(f"Making {self.folder} with Python {sys.version.split()[0]}")
        command = [sys.executable, "-m", "venv", "--clear", str(self.folder)]
        status, lines = follow(command, lambda line: None)
        if status:
            raise CannotContinue(f"Could not make .venv: {_reason(lines)}")

    def _has_pip(self) -> bool:
        """False also after an interrupted `venv`, and when the Python it was made with is gone."""
        command = [str(self.python), "-c", "import pip"]
        try:
            return subprocess.run(command, capture_output=True).returncode == 0
        except OSError:
            return False

    def _fill(self, group: str) -> None:
        groups = ("runtime", "test") if group == "test" else ("runtime",)
        for covered in ("runtime", "test"):
            self._stamp(covered).unlink(missing_ok=True)
        say("Installing the Python packages; the first time this takes a minute or two")
        self._install(self.requirements(group))
        for covered in groups:
            self._stamp(covered).write_text(self.digest(covered))
        say("The Python packages are in place")

    def _install(self, requirements: list[str]) -> None:
        command = [str(self.python), "-m", "pip", "install", "--no-input"]
        command += ["--disable-pip-version-check", "--constraint", str(self.constraints)]
        status, lines = follow([*command, *requirements], _step_of_pip)
        if status:
            raise CannotContinue(f"Could not install the Python packages: {_reason(lines)}")


@contextlib.contextmanager
def _one_at_a_time(folder: Path) -> Iterator[None]:
    """Two commands started together must not fill one environment at the same time."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _require_ensurepip() -> None:
    if importlib.util.find_spec("ensurepip") is None:
        system_packages.provide((system_packages.VENV,))


def _step_of_pip(line: str) -> str | None:
    collected = re.match(r"Collecting ([\w.-]+)", line)
    if collected:
        return f"collecting {collected[1]}"
    if line.startswith("Installing collected packages"):
        return f"installing {line.count(',') + 1} packages"
    return None


def _reason(lines: list[str]) -> str:
    """The one line, out of a tool's many, that says why it failed."""
    if any("connection broken" in line for line in lines):
        return "the package index cannot be reached. The same command goes on from here."
    said = [line for line in lines if line]
    errors = [line for line in said if line.lower().startswith("error")]
    return (errors or said[-1:] or ["no reason was given"])[0]
