"""Where the demo's record lies: whole before it is there, and never put over another's."""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

APPLICATION_ID = 0x51434456
"""SQLite's application id in the header of the demo's database: it tells it from a real record."""

_ID_AT = 68
"""Where the header of an SQLite file holds the application id, four bytes, big end first."""


class Refusal(Exception):
    """The demo cannot go on; the message says why in one line."""


@dataclass(frozen=True)
class Folder:
    """The folder the demo keeps to: one database file and one folder of evidence."""

    var: Path
    database: Path
    evidence: Path

    @classmethod
    def of(cls, settings: Any) -> "Folder":
        """The folder of the settings. Refusal where they name a database somewhere else."""
        database = settings.DATABASES["default"]
        name = Path(str(database["NAME"]))
        if not database["ENGINE"].endswith("sqlite3") or name.parent != settings.VAR:
            raise Refusal(
                "DATABASE_URL names a database of its own; the demo keeps to its SQLite file under"
                " var/: run it without DATABASE_URL."
            )
        evidence = settings.STORAGES["evidence"]["OPTIONS"]["location"]
        return cls(Path(settings.VAR), name, Path(evidence))

    @property
    def is_played(self) -> bool:
        """True where the whole demo is there. Refusal where another record is."""
        if not self.database.exists() or not self.database.stat().st_size:
            return False
        with self.database.open("rb") as file:
            file.seek(_ID_AT)
            if int.from_bytes(file.read(4), "big") == APPLICATION_ID:
                return True
        raise Refusal(
            f"{self.database} holds a record that is not the demo's; "
            "name another folder in the environment variable QC_VAR."
        )

    def play(self, secret_key: str, say: Callable[[str], None]) -> None:
        """Play the scenario aside and move it here, in place of what was here before."""
        with tempfile.TemporaryDirectory(prefix=".demo-", dir=self.var) as aside:
            _play_aside(Path(aside).resolve(), secret_key, say)
            self._move_in(Path(aside))

    def _move_in(self, aside: Path) -> None:
        """First the files, then the database that speaks of them, then away with older files."""
        files = aside / self.evidence.relative_to(self.var)
        names = {path.relative_to(files) for path in files.rglob("*") if path.is_file()}
        for name in names:
            target = self.evidence / name
            target.parent.mkdir(parents=True, exist_ok=True)
            os.replace(files / name, target)
        for companion in ("-wal", "-shm"):
            self.database.with_name(self.database.name + companion).unlink(missing_ok=True)
        os.replace(aside / self.database.relative_to(self.var), self.database)
        for path in list(self.evidence.rglob("*")):
            if path.is_file() and path.relative_to(self.evidence) not in names:
                path.unlink()


def _play_aside(aside: Path, secret_key: str, say: Callable[[str], None]) -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "qc.management.demo"],
        cwd=Path(__file__).resolve().parents[3],
        env=_environment(aside, secret_key),
        stdout=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    )
    try:
        with process:
            for line in process.stdout or ():
                say(line.rstrip())
    finally:
        process.kill()
    if process.returncode:
        raise Refusal("The scenario could not be played; nothing was changed.")


def _environment(aside: Path, secret_key: str) -> Mapping[str, str]:
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    return kept | {
        "QC_VAR": str(aside),
        "SECRET_KEY": secret_key,
        "DJANGO_SETTINGS_MODULE": "qc.settings",
        "PYTHONIOENCODING": "utf-8",
    }


def writable(folder: Path) -> Path:
    """`folder`, made where it is missing. Refusal where nothing can be written there."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return folder
    except FileExistsError:
        raise Refusal(f"Cannot write to {folder}: it is a file, not a folder.") from None
    except OSError as failure:
        raise Refusal(f"Cannot write to {folder}: {failure.strerror}.") from None


def remove_leftovers(var: Path) -> None:
    """Take away what a run that was cut short left aside."""
    for folder in var.glob(".demo-*"):
        shutil.rmtree(folder, ignore_errors=True)
