"""Several people at once: threads on PostgreSQL, processes on SQLite, let go at the same moment."""

import os
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

from django.conf import settings
from django.db import connection
from django.db.models import QuerySet

PATIENCE = 2.0
"""Seconds that a contender waits, at the point of danger, for another to get there or through."""


def in_threads(works: Sequence[Callable[[], Any]]) -> list[Any]:
    """What each work gave, or the exception it ended with; all let go at once."""
    start = threading.Barrier(len(works))
    results: list[Any] = [None] * len(works)

    def run(index: int) -> None:
        try:
            start.wait(timeout=30)
            results[index] = works[index]()
        except Exception as problem:
            results[index] = problem
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(index,)) for index in range(len(works))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return results


@contextmanager
def meeting_at(target: str, parties: int = 2) -> Iterator[None]:
    """Hold whoever gets to the function `target` until others get there too, or patience ends.

    Under a lock nobody else gets there, and patience ends; without it they meet, and each goes on
    from what it read before any of them wrote.
    """
    meeting = threading.Barrier(parties)
    module, name = target.rsplit(".", 1)
    original = getattr(sys.modules[module], name)

    def held(*args: Any, **kwargs: Any) -> Any:
        try:
            meeting.wait(timeout=PATIENCE)
        except threading.BrokenBarrierError:
            pass
        return original(*args, **kwargs)

    with mock.patch(target, held):
        yield


def overtaken(target: str, slow: Callable[[], Any], quick: Callable[[], Any]) -> list[Any]:
    """Let `quick` try to overtake `slow` where that has come to the function `target`.

    Under a lock `quick` waits until `slow` is through, which goes on once patience ends. Without it
    `quick` is through first, and `slow` goes on from what it had read. What both gave, in order.
    """
    arrived, through = threading.Event(), threading.Event()
    module, name = target.rsplit(".", 1)
    original = getattr(sys.modules[module], name)
    is_slow = threading.local()

    def held(*args: Any, **kwargs: Any) -> Any:
        result = original(*args, **kwargs)
        if getattr(is_slow, "yes", False) and not arrived.is_set():
            arrived.set()
            through.wait(timeout=PATIENCE)
        return result

    def slowly() -> Any:
        is_slow.yes = True
        return slow()

    def quickly() -> Any:
        arrived.wait(timeout=30)
        try:
            return quick()
        finally:
            through.set()

    with mock.patch(target, held):
        return in_threads([slowly, quickly])


@contextmanager
def no_locks() -> Iterator[None]:
    """Take the lock lines out: rows are read without being locked."""
    with mock.patch.object(QuerySet, "select_for_update", lambda rows, *args, **kwargs: rows.all()):
        yield


class Crew:
    """Processes with one SQLite file, that run functions of a module of the tests."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.environment = {
            name: value for name, value in os.environ.items() if name != "DATABASE_URL"
        } | {
            "QC_VAR": str(folder),
            "DJANGO_SETTINGS_MODULE": "qc.settings",
            "PYTHONPATH": str(settings.BASE_DIR),
        }
        self._run([sys.executable, "manage.py", "migrate", "--verbosity=0"])

    def once(self, function: str, *arguments: Any) -> str:
        """Run `function(*arguments)` in a process of its own; what it printed."""
        return self._run(self._command(function, arguments))

    def at_once(self, calls: Sequence[tuple[Any, ...]]) -> list[str]:
        """Run all `(function, *arguments)`, let go at once; what each printed."""
        signal = self.folder / "go"
        environment = self.environment | {"WAIT_FOR": str(signal)}
        running = [
            subprocess.Popen(
                self._command(function, arguments),
                cwd=settings.BASE_DIR,
                env=environment,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                text=True,
            )
            for function, *arguments in calls
        ]
        for process in running:
            assert process.stdout is not None
            process.stdout.readline()
        signal.touch()
        answers = []
        for process in running:
            said, problem = process.communicate(timeout=120)
            assert process.returncode == 0, problem
            answers.append(said.strip())
        signal.unlink()
        return answers

    def _command(self, function: str, arguments: Sequence[Any]) -> list[str]:
        module = "tests.ledger.crew"
        return [sys.executable, "-m", module, function, *map(str, arguments)]

    def _run(self, command: list[str]) -> str:
        done = subprocess.run(
            command, cwd=settings.BASE_DIR, env=self.environment, capture_output=True, text=True
        )
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()
