"""`manage.py demo`, started as a newcomer starts it: in a process and a folder of its own."""

import contextlib
import fcntl
import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps

from qc.management.demo.folder import Refusal
from qc.management.demo.serving import port_from

ROOT = Path(__file__).resolve().parents[2]
LONGEST = 300
"""Seconds after which a run has hung."""

STAGES = {
    "R-101": "released",
    "R-102": "with_client",
    "R-103": "on_site",
    "R-104": "on_site",
    "R-105": "on_site",
    "R-106": "planned",
    "R-107": "planned",
}


def _environment(var: Path, **more: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    return kept | {"QC_VAR": str(var), **more}


def _demo(var: Path, *arguments: str, **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "manage.py", "demo", *arguments],
        cwd=ROOT,
        env=_environment(var, **more),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=LONGEST,
    )


def _refused(run: subprocess.CompletedProcess[str]) -> str:
    """The one line of a refusal."""
    assert run.returncode == 2, run.stderr
    assert run.stdout == ""
    assert run.stderr.count("\n") == 1, run.stderr
    return run.stderr


def _rows(var: Path, query: str) -> list[Any]:
    with contextlib.closing(sqlite3.connect(var / "record.sqlite3")) as database:
        return database.execute(query).fetchall()


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="session")
def played(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder in which the demo was played, certificates in its `pdf`; read it, change a copy.

    Tests that run side by side share one.
    """
    base = tmp_path_factory.getbasetemp()
    shared = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    var = shared / "played-demo"
    with (shared / "played-demo.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (var / "said").exists():
            run = _demo(var, "--no-serve", "--certificate", str(var / "pdf"))
            assert run.returncode == 0, run.stderr
            (var / "said").write_text(run.stdout)
    return var


@pytest.fixture
def own(played: Path, tmp_path: Path) -> Path:
    """A copy of the played folder, to change."""
    return shutil.copytree(played, tmp_path / "own")


def test_seven_repairs_stand_at_their_stages(played: Path) -> None:
    assert dict(_rows(played, "select number, status from qc_repair")) == STAGES


def test_one_repair_is_in_us_units(played: Path) -> None:
    us = _rows(played, "select number from qc_repair where units = 'us'")

    assert us == [("R-104",)]


def test_one_repair_stands_at_a_reading_that_failed_and_one_at_a_concession(played: Path) -> None:
    last = _rows(
        played,
        "select r.number, i.outcome from qc_inspection i join qc_repair r on r.id = i.repair_id"
        " where i.outcome = 'does_not_conform' and not exists (select 1 from qc_inspection later"
        " where later.repair_id = i.repair_id and later.step_id = i.step_id and later.id > i.id)",
    )

    assert last == [("R-102", "does_not_conform"), ("R-103", "does_not_conform")]
    granted = _rows(
        played,
        "select r.number from qc_handling h join qc_nonconformance n on n.id = h.report_id"
        " join qc_repair r on r.id = n.repair_id where h.concession_scope != ''",
    )
    assert granted == [("R-102",)]


def test_the_released_repair_tells_of_a_rework_and_a_correction(played: Path) -> None:
    told = _rows(
        played,
        "select i.rework != '', i.reason != '' from qc_inspection i join qc_repair r"
        " on r.id = i.repair_id where r.number = 'R-101' and (i.rework != '' or i.reason != '')",
    )

    assert sorted(told) == [(0, 1), (1, 0)]


def test_nothing_happened_after_the_moment_it_was_played(played: Path) -> None:
    ahead = _rows(played, "select id from qc_entry where recorded_at > datetime('now')")

    assert ahead == []


def test_all_that_happened_went_through_the_ledger(played: Path) -> None:
    acts = {name for (name,) in _rows(played, "select distinct act from qc_entry")}

    assert {"start_repair", "agree_plan", "record_inspection", "correct_inspection"} <= acts
    assert {"close_point", "add_evidence", "sign_approval", "release_certificate"} <= acts


def test_every_photograph_of_the_record_is_kept(played: Path) -> None:
    digests = [digest for (digest,) in _rows(played, "select sha256 from qc_evidence")]

    assert len(digests) > 20
    assert all((played / "files" / d[:2] / d[2:]).is_file() for d in digests)


def test_the_certificate_is_written_where_it_was_asked(played: Path) -> None:
    (written,) = (played / "pdf").iterdir()
    pdf = written.read_bytes()

    assert written.suffix == ".pdf"
    assert pdf.startswith(b"%PDF-")
    assert pdf.rstrip().endswith(b"%%EOF")


def test_the_log_ins_are_printed(played: Path) -> None:
    said = (played / "said").read_text()

    assert all(name in said for name in ("ines", "carl", "clara", "Password"))


def test_everything_fits_its_column_on_a_database_that_minds(played: Path) -> None:
    columns = [
        (model._meta.db_table, field.column, field.max_length)
        for model in apps.get_app_config("qc").get_models()
        for field in model._meta.concrete_fields
        if field.max_length
    ]

    for table, column, longest in columns:
        ((length,),) = _rows(played, f'select max(length("{column}")) from "{table}"')
        assert (length or 0) <= longest, f"{table}.{column}"


def test_nothing_is_left_aside(played: Path) -> None:
    assert not list(played.glob(".demo-*"))


def test_a_second_run_keeps_what_is_there(own: Path) -> None:
    before = _rows(own, "select own_hash from qc_entry order by id")

    run = _demo(own, "--no-serve")

    assert run.returncode == 0, run.stderr
    assert _rows(own, "select own_hash from qc_entry order by id") == before


def test_starting_over_without_anybody_to_ask_needs_yes(own: Path) -> None:
    before = _rows(own, "select own_hash from qc_entry order by id")

    assert "--yes" in _refused(_demo(own, "--fresh", "--no-serve"))
    assert _rows(own, "select own_hash from qc_entry order by id") == before


@contextlib.contextmanager
def _serving(var: Path, port: int) -> Iterator[subprocess.Popen[str]]:
    process = subprocess.Popen(
        [sys.executable, "manage.py", "demo", "--port", str(port)],
        cwd=ROOT,
        env=_environment(var),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        for line in process.stdout or ():
            if f"http://127.0.0.1:{port}/" in line:
                break
        yield process
    finally:
        process.kill()
        process.communicate()


def test_it_serves_pages_and_style_and_ends_quietly(own: Path) -> None:
    port = _free_port()

    with _serving(own, port) as process:
        for path in ("/login/", "/static/qc/parts.css"):
            with urllib.request.urlopen(f"http://127.0.0.1:{port}{path}", timeout=60) as answer:
                assert answer.status == 200
        process.send_signal(signal.SIGINT)
        _, complaints = process.communicate(timeout=60)

    assert complaints == ""
    assert process.returncode in (0, 130)


def test_a_port_in_use_is_said_in_one_line(own: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]

        assert f"Port {port}" in _refused(_demo(own, "--port", str(port)))


@pytest.mark.parametrize("port", ["", "0", "65536", "-1", "http", "8000.5", "٨٠٠٠", "9" * 5000])
def test_what_is_no_port_is_refused(port: str) -> None:
    with pytest.raises(Refusal, match="from 1 to 65535"):
        port_from(port)


@pytest.mark.parametrize("port", [1, 8000, 65535])
def test_a_port_is_a_whole_number_up_to_65535(port: int) -> None:
    assert port_from(str(port)) == port


def test_a_port_out_of_range_is_said_in_one_line(tmp_path: Path) -> None:
    assert "from 1 to 65535" in _refused(_demo(tmp_path, "--port", "65536"))


def test_an_unknown_argument_is_refused_in_one_line(tmp_path: Path) -> None:
    assert "--bogus" in _refused(_demo(tmp_path, "--bogus"))


def test_a_folder_that_cannot_be_written_is_said_before_anything_is_played(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("")

    refusal = _refused(_demo(tmp_path / "var", "--no-serve", "--certificate", str(file)))

    assert str(file) in refusal
    assert not (tmp_path / "var" / "record.sqlite3").exists()


def test_another_database_is_left_alone(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'elsewhere.sqlite3'}"

    refusal = _refused(_demo(tmp_path / "var", "--no-serve", DATABASE_URL=url))

    assert "DATABASE_URL" in refusal
    assert not (tmp_path / "elsewhere.sqlite3").exists()


@pytest.mark.parametrize("arguments", [(), ("--fresh", "--yes")])
def test_a_record_that_is_not_the_demos_is_left_alone(
    tmp_path: Path, arguments: tuple[str, ...]
) -> None:
    with contextlib.closing(sqlite3.connect(tmp_path / "record.sqlite3")) as database:
        database.execute("create table kept (value)")
        database.commit()

    refusal = _refused(_demo(tmp_path, "--no-serve", *arguments))

    assert "QC_VAR" in refusal
    assert _rows(tmp_path, "select name from sqlite_master") == [("kept",)]


def test_a_first_run_that_is_cut_short_leaves_nothing_half_played(tmp_path: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "manage.py", "demo", "--no-serve"],
        cwd=ROOT,
        env=_environment(tmp_path),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    for line in process.stdout or ():
        if "Playing" in line:
            break
    # As a terminal does on Ctrl-C: to the whole group.
    os.killpg(process.pid, signal.SIGINT)
    _, complaints = process.communicate(timeout=60)

    assert process.returncode == 130
    assert complaints == ""
    assert not (tmp_path / "record.sqlite3").exists()
    assert not list(tmp_path.glob(".demo-*"))


def test_starting_over_plays_it_again(own: Path) -> None:
    before = _rows(own, "select own_hash from qc_entry order by id")
    stray = own / "files" / "aa" / ("b" * 62)
    stray.parent.mkdir(exist_ok=True)
    stray.write_bytes(b"left by an earlier record")
    started = time.time()

    run = _demo(own, "--fresh", "--yes", "--no-serve")

    assert run.returncode == 0, run.stderr
    assert dict(_rows(own, "select number, status from qc_repair")) == STAGES
    assert _rows(own, "select own_hash from qc_entry order by id") != before
    assert (own / "record.sqlite3").stat().st_mtime >= started - 1
    assert not stray.exists()
