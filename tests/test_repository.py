"""What is true of the repository itself: its size, its names, its sources, its two commands."""

import os
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TOP_LEVEL = {
    "DEVELOPERS.md",
    "README.md",
    "manage.py",
    "pyproject.toml",
    "qc",
    "static",
    "templates",
    "tests",
}
HIDDEN = (".ci", ".gitignore")
NOT_OURS = {"__pycache__"}
LINES = {"code": 300, "test": 400}
MEASURED = {".css", ".html", ".js", ".py"}
VAGUE_NAMES = re.compile(r"(.*_)?(utils?|helpers?|common|managers?|base|misc)")
# Joined when run, so that this file does not hold what it forbids.
PERSONAL_FOLDERS = ("ro" + "ot", "ho" + "me", "wo" + "rk", "Us" + "ers")
PERSONAL_FOLDER = re.compile(rf"(?<![\w.:-])/({'|'.join(PERSONAL_FOLDERS)})/\w")
REGISTRIES = ("py" + r"pi\.org", "python" + "hosted", "npm" + r"js\.", "deb" + r"ian\.org")
REGISTRY = re.compile("|".join(REGISTRIES))


def _files() -> Iterator[Path]:
    for top in sorted({*TOP_LEVEL, *HIDDEN}):
        path = ROOT / top
        if path.is_file():
            yield path
        for folder, folders, names in os.walk(path):
            folders[:] = sorted(set(folders) - NOT_OURS)
            yield from (Path(folder) / name for name in sorted(names))


def _relative(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


FILES = {_relative(path): path for path in _files()}
PYTHON = [name for name in FILES if name.endswith(".py")]
WRITTEN_BY_HAND = [
    name
    for name, path in FILES.items()
    if path.suffix in MEASURED and not re.match(r"qc/migrations/\d", name)
]
TABLES = [name for name in FILES if name.startswith("qc/engine/") and name.endswith(".toml")]


def _text(name: str) -> str:
    """Pictures and fonts have no text to look through."""
    return FILES[name].read_bytes().decode("utf-8", errors="ignore")


def _most_lines(name: str) -> int:
    return LINES["test" if name.startswith("tests/") else "code"]


def test_the_top_level_is_the_fixed_one() -> None:
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}

    assert found - {"var"} - NOT_OURS == TOP_LEVEL


def test_a_file_fits_in_the_head() -> None:
    lines = {name: len(_text(name).splitlines()) for name in WRITTEN_BY_HAND}

    assert not {name: count for name, count in lines.items() if count > _most_lines(name)}


def test_a_module_is_named_after_the_one_thing_inside() -> None:
    vague = [
        name
        for name in PYTHON
        if any(VAGUE_NAMES.fullmatch(part) for part in Path(name).with_suffix("").parts)
    ]

    assert not vague


def test_no_file_names_a_folder_of_somebodys_machine() -> None:
    assert not [name for name in FILES if PERSONAL_FOLDER.search(_text(name))]


def test_no_file_names_a_host_that_packages_come_from() -> None:
    assert not [name for name in FILES if REGISTRY.search(_text(name))]


def test_every_table_of_figures_names_its_source() -> None:
    sources = {name: tomllib.loads(_text(name)).get("source", {}) for name in TABLES}

    assert not [name for name, source in sources.items() if not source.get("standard", "").strip()]


def test_no_table_of_figures_holds_a_float() -> None:
    """A float has lost the digits that were printed; figures are quoted strings."""
    found: list[str] = []
    for name in TABLES:
        tomllib.loads(_text(name), parse_float=found.append)

    assert not found


def test_the_readme_names_both_commands() -> None:
    assert "python3 manage.py demo" in _text("README.md")
    assert "python3 manage.py test" in _text("README.md")


def test_continuous_integration_runs_the_command_of_the_readme() -> None:
    assert "set -euo pipefail" in _text(".ci/run")
    assert "python3 manage.py test" in _text(".ci/run")
    assert os.access(FILES[".ci/run"], os.X_OK)


def test_every_package_asked_for_is_explained_to_developers() -> None:
    explained = re.sub(r"[-_.\s]+", "-", _text("DEVELOPERS.md")).lower()

    assert not [name for name in _asked_for() if name not in explained]


def test_every_package_asked_for_is_pinned_to_one_version() -> None:
    pins = [line for line in _text(".ci/constraints.txt").splitlines() if line[:1] != "#"]

    assert all(re.fullmatch(r"[\w.-]+==[\w.]+", pin) for pin in pins)
    assert _asked_for() <= {_package(pin) for pin in pins}


def _asked_for() -> set[str]:
    project = tomllib.loads(_text("pyproject.toml"))["project"]
    asked = project["dependencies"] + project["optional-dependencies"]["test"]
    return {_package(requirement) for requirement in asked}


def _package(requirement: str) -> str:
    name = re.match(r"[\w.-]+", requirement)
    assert name
    return re.sub(r"[-_.]+", "-", name[0]).lower()
