"""A PostgreSQL cluster of its own for the tests, in a temporary folder, reached by socket only."""

import contextlib
import os
import pwd
import shutil
import signal
import subprocess
from collections.abc import Iterator
from pathlib import Path
from tempfile import mkdtemp
from typing import Any
from urllib.parse import quote

from qc.bootstrap.system_packages import postgresql_programs

ROLE = "qc"
# A test cluster that a power cut destroys is no loss; not waiting for the disk saves much time.
CONFIGURATION = """
listen_addresses = ''
unix_socket_directories = '{folder}'
unix_socket_permissions = 0777
fsync = off
synchronous_commit = off
full_page_writes = off
max_connections = 50
"""


class NoCluster(Exception):
    """The cluster cannot be started; the message says why."""


@contextlib.contextmanager
def private_cluster() -> Iterator[str]:
    """Yield the address (DATABASE_URL) of a new, empty cluster; stop and remove it afterwards."""
    programs = postgresql_programs()
    if programs is None:
        raise NoCluster("PostgreSQL's initdb is not on this machine.")
    # The servers' user must get in, which a private temporary folder of root's would not allow.
    folder = Path(mkdtemp(prefix="qc-pg-", dir="/tmp" if _as_root() else None))
    try:
        _hand_over(folder)
        _initialise(programs, folder)
        _start(programs, folder)
        yield f"postgresql://{ROLE}@{quote(str(folder), safe='')}/postgres"
    finally:
        with _undisturbed():
            _stop(programs, folder)
            shutil.rmtree(folder, ignore_errors=True)


@contextlib.contextmanager
def _undisturbed() -> Iterator[None]:
    """A second Ctrl-C must not leave a server and its folder behind."""
    signals = (signal.SIGINT, signal.SIGTERM)
    before = {number: signal.signal(number, signal.SIG_IGN) for number in signals}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _as_root() -> bool:
    return os.geteuid() == 0


def _hand_over(folder: Path) -> None:
    if not _as_root():
        return
    try:
        owner = pwd.getpwnam("postgres")
    except KeyError:
        raise NoCluster("As root, PostgreSQL needs a user named postgres.") from None
    os.chown(folder, owner.pw_uid, owner.pw_gid)


def _initialise(programs: Path, folder: Path) -> None:
    options = ["--auth=trust", "--encoding=UTF8", "--locale=C", "--no-sync", f"--username={ROLE}"]
    _run([str(programs / "initdb"), "--pgdata", str(folder / "data"), *options], folder)
    with (folder / "data" / "postgresql.conf").open("a") as configuration:
        configuration.write(CONFIGURATION.format(folder=folder))


def _start(programs: Path, folder: Path) -> None:
    log = folder / "server.log"
    start = ["start", "--wait", "--timeout=60", f"--log={log}"]
    try:
        _run([str(programs / "pg_ctl"), "--pgdata", str(folder / "data"), *start], folder)
    except NoCluster as refusal:
        said = log.read_text().splitlines()[-1:] if log.exists() else []
        raise NoCluster(" ".join([str(refusal), *said])) from None


def _stop(programs: Path, folder: Path) -> None:
    if (folder / "data" / "postmaster.pid").exists():
        stop = ["stop", "--wait", "--mode=immediate"]
        _run([str(programs / "pg_ctl"), "--pgdata", str(folder / "data"), *stop], folder)


def _run(command: list[str], folder: Path) -> None:
    # Not through pipes: the server would inherit them and keep them open.
    with (folder / "programs.log").open("a+") as log:
        finished = subprocess.run(
            command, cwd=folder, stdin=subprocess.DEVNULL, stdout=log, stderr=log, **_as_whom()
        )
        if finished.returncode:
            log.seek(0)
            said = " ".join(log.read().split())
            raise NoCluster(f"{Path(command[0]).name} failed: {said[-300:]}")


def _as_whom() -> dict[str, Any]:
    """PostgreSQL's servers refuse to run as root."""
    if not _as_root():
        return {}
    return {"user": "postgres", "group": "postgres", "extra_groups": []}
