"""What the system must have beside Python: libraries and fonts for PDF, programs for the tests."""

import ctypes.util
import importlib.util
import os
import shutil
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from qc.bootstrap.report import CannotContinue, follow, say

FONT_FOLDERS = (
    "/usr/share/fonts",
    "/usr/local/share/fonts",
    "/Library/Fonts",
    "~/Library/Fonts",
    "~/.local/share/fonts",
    "~/.fonts",
)
INSTALL_LINES = {
    "apt-get": "apt-get update && {sudo}apt-get install -y",
    "dnf": "dnf install -y",
    "pacman": "pacman -S --needed",
    "brew": "brew install",
}
# They draw no page, so they run on a machine without Pango.
COMMANDS_WITHOUT_PAGES = frozenset({"help", "version", "--help", "-h", "--version", "judge"})


@dataclass(frozen=True)
class Need:
    """One thing looked for, and the packages that bring it: `{package manager: packages}`."""

    what: str
    is_present: Callable[[], bool]
    packages: dict[str, tuple[str, ...]]


def _library(name: str) -> bool:
    return ctypes.util.find_library(name) is not None


def _program(*names: str) -> Callable[[], bool]:
    return lambda: all(shutil.which(name) for name in names)


def _font(file_name: str) -> bool:
    folders = (Path(folder).expanduser() for folder in FONT_FOLDERS)
    return any(next(folder.rglob(file_name), None) for folder in folders)


def chromium() -> str | None:
    """Path of the browser that the tests drive; None if there is none."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


def postgresql_programs() -> Path | None:
    """Folder of the newest PostgreSQL server's programs (initdb, pg_ctl); None if there is none."""
    found = [path.parent for path in Path("/usr/lib/postgresql").glob("*/bin/initdb")]
    if found:
        return max(found, key=lambda folder: float(folder.parent.name))
    on_path = shutil.which("initdb")
    return Path(on_path).parent if on_path else None


VENV = Need(
    "Python's venv module",
    lambda: importlib.util.find_spec("ensurepip") is not None,
    {"apt-get": (f"python3.{sys.version_info.minor}-venv",)},
)
PAGES = (
    Need(
        "Pango",
        lambda: _library("pango-1.0") and _library("pangoft2-1.0"),
        {
            "apt-get": ("libpango-1.0-0", "libpangoft2-1.0-0"),
            "dnf": ("pango",),
            "pacman": ("pango",),
            "brew": ("pango",),
        },
    ),
    Need(
        "HarfBuzz's font subsetting",
        lambda: _library("harfbuzz-subset"),
        {
            "apt-get": ("libharfbuzz-subset0",),
            "dnf": ("harfbuzz",),
            "pacman": ("harfbuzz",),
            "brew": ("harfbuzz",),
        },
    ),
    Need(
        "the DejaVu fonts",
        lambda: _font("DejaVuSans.ttf"),
        {
            "apt-get": ("fonts-dejavu-core",),
            "dnf": ("dejavu-sans-fonts",),
            "pacman": ("ttf-dejavu",),
            "brew": ("font-dejavu",),
        },
    ),
)
TESTS = (
    Need(
        "Chromium",
        lambda: chromium() is not None,
        dict.fromkeys(INSTALL_LINES, ("chromium",)),
    ),
    Need(
        "libatomic",
        lambda: sys.platform == "darwin" or _library("atomic"),
        {
            "apt-get": ("libatomic1",),
            "dnf": ("libatomic",),
            "pacman": ("gcc-libs",),
            "brew": ("gcc",),
        },
    ),
    Need(
        "the PostgreSQL server",
        lambda: postgresql_programs() is not None,
        {
            "apt-get": ("postgresql",),
            "dnf": ("postgresql-server",),
            "pacman": ("postgresql",),
            "brew": ("postgresql",),
        },
    ),
    Need(
        "the Poppler tools",
        _program("pdftotext", "pdftoppm"),
        {
            "apt-get": ("poppler-utils",),
            "dnf": ("poppler-utils",),
            "pacman": ("poppler",),
            "brew": ("poppler",),
        },
    ),
    Need("qpdf", _program("qpdf"), dict.fromkeys(INSTALL_LINES, ("qpdf",))),
)


def needs_of(command: str) -> tuple[Need, ...]:
    """What a command of manage.py needs of the system."""
    if command in COMMANDS_WITHOUT_PAGES:
        return ()
    return PAGES + TESTS if command == "test" else PAGES


def provide(needs: Iterable[Need]) -> None:
    """Install what is missing with apt-get as root; elsewhere refuse with the line to type."""
    missing = _missing(needs)
    if not missing:
        return
    if os.geteuid() != 0 or not shutil.which("apt-get"):
        raise CannotContinue(line_to_type(missing))
    _apt_get(missing)
    left = _missing(missing)
    if left:
        raise CannotContinue(f"Still missing after apt-get: {_names(left)}.")


def line_to_type(missing: list[Need]) -> str:
    """One line: what is missing, and the command that installs it with the manager found here."""
    manager = next((name for name in INSTALL_LINES if shutil.which(name)), None)
    if manager is None or any(manager not in need.packages for need in missing):
        return f"Missing: {_names(missing)}. Install with this system's package manager."
    sudo = "" if os.geteuid() == 0 or manager == "brew" else "sudo "
    install = sudo + INSTALL_LINES[manager].format(sudo=sudo)
    return f"Missing: {_names(missing)}. Type: {install} {' '.join(_packages(missing, manager))}"


def _missing(needs: Iterable[Need]) -> list[Need]:
    return [need for need in needs if not need.is_present()]


def _names(needs: list[Need]) -> str:
    return ", ".join(need.what for need in needs)


def _packages(needs: list[Need], manager: str) -> list[str]:
    return [package for need in needs for package in need.packages[manager]]


def _apt_get(missing: list[Need]) -> None:
    packages = _packages(missing, "apt-get")
    say(f"Installing with apt-get: {' '.join(packages)}")
    # A stale list of one source must not stop an install that another source can serve.
    _run_apt_get("update")
    status, lines = _run_apt_get("install", "-y", "--no-install-recommends", *packages)
    if status:
        reason = next((line for line in lines if line.startswith("E:")), "no reason was given")
        raise CannotContinue(f"apt-get could not install {_names(missing)}: {reason}")


def _run_apt_get(*arguments: str) -> tuple[int, list[str]]:
    command = ["apt-get", "-q", "-o", "DPkg::Lock::Timeout=300", *arguments]
    return follow(command, _step_of_apt_get, os.environ | {"DEBIAN_FRONTEND": "noninteractive"})


def _step_of_apt_get(line: str) -> str | None:
    return f"setting up {line.split()[2]}" if line.startswith("Setting up ") else None
