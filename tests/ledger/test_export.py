"""An export is checked by a verifier that knows nothing of the application."""

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from qc.ledger import standalone
from qc.ledger.against import line_of, stored
from qc.ledger.canonical import canonical
from qc.ledger.checkpoints import hash_of_kept
from tests.ledger.histories import released_repair
from tests.ledger.test_canonical import VECTORS
from tests.people import People

VERIFIER = Path(standalone.__path__[0]) / "verify_export.py"

Lines = list[dict[str, Any]]


def check(*arguments: Any) -> tuple[int, str]:
    """Exit status and output of the verifier, run in a bare interpreter."""
    command = [sys.executable, "-I", "-S", *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True)
    return done.returncode, done.stdout + done.stderr


@pytest.fixture
def export(people: People, tmp_path: Path) -> Path:
    """The whole ledger, with a released repair, as it was written out."""
    released_repair(people)
    folder = tmp_path / "export"
    call_command("export_ledger", str(folder))
    (tmp_path / "kept.jsonl").write_text("".join(f"{line_of(kept)}\n" for kept in stored()))
    return folder


def lines_of(path: Path) -> Lines:
    return [json.loads(line) for line in path.read_text().splitlines()]


def write(path: Path, lines: Lines) -> None:
    path.write_text("".join(f"{json.dumps(line)}\n" for line in lines))


def tampered(export: Path, tamper: Callable[[Lines], None]) -> None:
    """Change the entries of the repair, and leave those of the register."""
    lines = lines_of(export / "entries.jsonl")
    register = [line for line in lines if line["entry"]["chain"][0] == "register"]
    own = lines[len(register) :]
    tamper(own)
    write(export / "entries.jsonl", [*register, *own])


def digest(value: Any) -> str:
    import hashlib

    return hashlib.sha256(canonical(value)).hexdigest()


def rehash(lines: Lines, start: int = 0) -> None:
    """Make all hashes fit, as a forger would."""
    for index in range(start, len(lines)):
        entry = lines[index]["entry"]
        entry["position"] = index + 1
        entry["payload"] = digest(lines[index]["payload"])
        entry["previous"] = lines[index - 1]["hash"] if index else "0" * 64
        lines[index]["hash"] = digest(entry)


def test_a_true_export_holds_and_every_chain_is_named(export: Path) -> None:
    status, said = check(export / "verify_export.py", export)

    assert status == 0, said
    assert "repair SQT R-014: 14 entries, head" in said
    assert "All of it holds." in said


def test_the_verifier_imports_nothing_of_the_application(export: Path, tmp_path: Path) -> None:
    alone = tmp_path / "alone"
    shutil.move(export, alone)

    assert check(alone / "verify_export.py", alone)[0] == 0
    assert "django" not in VERIFIER.read_text() and "import qc" not in VERIFIER.read_text()


@pytest.mark.parametrize("value", [value for value, _ in VECTORS])
def test_the_verifier_writes_the_same_canonical_bytes(value: Any) -> None:
    import runpy

    own = runpy.run_path(str(VERIFIER))["canonical"]
    assert own(value).encode() == canonical(value)


@pytest.mark.parametrize("value", [0.5, 2**53, -(2**53), {"a": [1.0]}])
def test_the_verifier_has_no_bytes_for_what_has_none(value: Any) -> None:
    import runpy

    with pytest.raises(ValueError, match="no canonical form"):
        runpy.run_path(str(VERIFIER))["canonical"](value)


def alter_a_reading(lines: Lines) -> None:
    lines[5]["payload"]["reading"][0]["values"]["values"][0] = "5.7 mm"


def alter_an_actor(lines: Lines) -> None:
    lines[3]["entry"]["actor_name"] = "Somebody"


def delete_an_entry(lines: Lines) -> None:
    del lines[4]


def delete_and_rehash(lines: Lines) -> None:
    del lines[4]
    rehash(lines)


def swap_two(lines: Lines) -> None:
    lines[3], lines[5] = lines[5], lines[3]


def insert_a_copy_and_rehash(lines: Lines) -> None:
    lines.insert(8, json.loads(json.dumps(lines[3])))
    rehash(lines)


def cut_the_tail(lines: Lines) -> None:
    del lines[10:]


def rewrite_from_the_middle(lines: Lines) -> None:
    alter_a_reading(lines)
    rehash(lines)


def rewrite_and_forget_what_is_printed(lines: Lines) -> None:
    """The certificate would tell of the head that it prints."""
    alter_a_reading(lines)
    for line in lines:
        line["payload"].pop("certificate", None)
    rehash(lines)


def write_a_float(lines: Lines) -> None:
    lines[5]["payload"]["reading"][0]["position"] = 1.5


@pytest.mark.parametrize(
    ("tamper", "said"),
    [
        (alter_a_reading, "entry 6: altered"),
        (alter_an_actor, "entry 4: altered"),
        (delete_an_entry, "entry 5: missing or out of place"),
        (delete_and_rehash, "rewritten"),
        (swap_two, "entry 4: missing or out of place"),
        (insert_a_copy_and_rehash, "inserted: entry 4 states"),
        (cut_the_tail, "entry 11: truncated"),
        (rewrite_from_the_middle, "rewritten"),
        (write_a_float, "entry 6: altered"),
    ],
)
def test_a_tampered_export_does_not_hold(
    export: Path, tamper: Callable[[Lines], None], said: str
) -> None:
    tampered(export, tamper)

    status, output = check(VERIFIER, export)
    assert (status, said in output) == (1, True), output


def test_a_history_made_to_fit_with_its_checkpoints_is_caught_by_those_kept_elsewhere(
    export: Path, tmp_path: Path
) -> None:
    tampered(export, rewrite_and_forget_what_is_printed)
    own = [e for e in lines_of(export / "entries.jsonl") if e["entry"]["chain"][0] == "repair"]
    checkpoints = lines_of(export / "checkpoints.jsonl")
    for kept in checkpoints:
        kept["heads"] = [
            [k, s, n, own[n - 1]["hash"] if k == "repair" else h] for k, s, n, h in kept["heads"]
        ]
        kept["hash"] = hash_of_kept(kept)
    write(export / "checkpoints.jsonl", checkpoints)

    assert check(VERIFIER, export)[0] == 0
    status, said = check(VERIFIER, export, "--checkpoints", tmp_path / "kept.jsonl")
    assert status == 1
    assert "rewritten: it was seen otherwise" in said
    assert "checkpoint 1 kept elsewhere: rewritten" in said


def test_a_chain_that_was_left_out_is_missed(export: Path) -> None:
    (export / "entries.jsonl").write_text("")
    about = json.loads((export / "about.json").read_text())
    (export / "about.json").write_text(json.dumps(about | {"chains": []}))

    status, said = check(VERIFIER, export)
    assert (status, "14 entries were seen, and there are 0" in said) == (1, True)


@pytest.mark.parametrize(("change", "said"), [("swap", "file altered"), ("drop", "file missing")])
def test_a_file_that_is_not_as_stated_is_named(export: Path, change: str, said: str) -> None:
    for path in (export / "files").iterdir():
        kept = path.read_bytes()
        path.unlink() if change == "drop" else path.write_bytes(b"another")

        status, output = check(VERIFIER, export)
        assert (status, f"{said}: {path.name}" in output) == (1, True), output
        path.write_bytes(kept)


def test_one_repair_is_exported_alone(people: People, tmp_path: Path) -> None:
    released_repair(people)
    call_command("export_ledger", str(tmp_path / "one"), "--repair", "R-014")

    status, said = check(VERIFIER, tmp_path / "one")
    assert (status, said.count("entries, head")) == (0, 1)


@pytest.mark.parametrize("spoil", ["no folder", "no JSON", "other names"])
def test_what_is_no_export_is_refused_in_one_line(tmp_path: Path, spoil: str) -> None:
    folder = tmp_path / "export"
    if spoil != "no folder":
        folder.mkdir()
        (folder / "about.json").write_text('{"whole": true, "chains": []}')
        (folder / "checkpoints.jsonl").write_text("")
        (folder / "entries.jsonl").write_text("{" if spoil == "no JSON" else '{"a": 1}')

    status, said = check(VERIFIER, folder)
    assert status == 2
    assert said.count("\n") == 1 and "Traceback" not in said


def test_bad_use_of_the_verifier_is_one_line() -> None:
    status, said = check(VERIFIER)

    assert status == 2
    assert said.count("\n") == 1


def test_a_folder_with_something_in_it_is_left_alone(
    people: People, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "mine").write_text("kept")

    with pytest.raises(SystemExit) as ended:
        call_command("export_ledger", str(tmp_path))
    assert ended.value.code == 2
    assert "is not empty" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir() if path.name != "evidence"] == ["mine"]
