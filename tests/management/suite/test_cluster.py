"""The private PostgreSQL cluster: reachable while it is there, and gone afterwards."""

from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory, mkdtemp
from urllib.parse import unquote, urlsplit

import dj_database_url
import psycopg
import pytest

from qc.management.suite import cluster
from qc.management.suite.cluster import NoCluster, private_cluster


def _folder(address: str) -> Path:
    return Path(unquote(urlsplit(address).netloc).partition("@")[2])


def _answer(address: str, question: str) -> str:
    parts = dj_database_url.parse(address)
    with psycopg.connect(
        host=parts["HOST"], user=parts["USER"], dbname=parts["NAME"]
    ) as connection:
        row = connection.execute(question.encode()).fetchone()
    assert row
    return str(row[0])


def _noted(made: list[str], folder: str) -> str:
    made.append(folder)
    return folder


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with private_cluster() as address:
        yield address


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that the servers' user may enter too; pytest's own are private."""
    with TemporaryDirectory(dir="/tmp") as name:
        Path(name).chmod(0o755)
        yield Path(name)


def test_it_answers_at_the_address_it_gives(address: str) -> None:
    assert _answer(address, "SELECT 6 * 7") == "42"


def test_it_listens_on_no_network_address(address: str) -> None:
    assert _answer(address, "SHOW listen_addresses") == ""


def test_its_role_may_make_databases_and_roles(address: str) -> None:
    assert _answer(address, "SELECT rolsuper FROM pg_roles WHERE rolname = current_user") == "True"


@pytest.mark.parametrize("interruption", [KeyboardInterrupt, SystemExit])
def test_nothing_of_it_is_left_when_a_run_breaks_off(interruption: type[BaseException]) -> None:
    with pytest.raises(interruption), private_cluster() as address:
        raise interruption

    assert not _folder(address).exists()
    with pytest.raises(psycopg.OperationalError):
        _answer(address, "SELECT 1")


def test_without_a_server_on_the_machine_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cluster, "postgresql_programs", lambda: None)

    with pytest.raises(NoCluster, match="initdb"), private_cluster():
        pass


def test_a_program_that_fails_is_named_and_leaves_no_folder(
    monkeypatch: pytest.MonkeyPatch, open_folder: Path
) -> None:
    (open_folder / "initdb").write_text("#!/bin/sh\necho no room left\nexit 1\n")
    (open_folder / "initdb").chmod(0o755)
    made: list[str] = []
    monkeypatch.setattr(cluster, "postgresql_programs", lambda: open_folder)
    monkeypatch.setattr(cluster, "mkdtemp", lambda **options: _noted(made, mkdtemp(**options)))

    with pytest.raises(NoCluster, match="initdb failed: no room left"), private_cluster():
        pass

    assert not Path(made[0]).exists()
