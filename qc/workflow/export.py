"""Writing a ledger out, so that others can check it with nothing but Python."""

import hashlib
import json
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from qc.evidence.audit import named_files
from qc.evidence.store import NotAsKept, fetch
from qc.ledger import standalone
from qc.ledger.against import line_of, stored
from qc.ledger.chain import Chain, Entry, chain_of, said_by
from qc.ledger.rows import Scope
from qc.records.models import Certificate

FORMAT = "quality-record/ledger-export/1"
VERIFIER = "verify_export.py"


def export(scope: Scope, folder: Path, names: Mapping[Chain, str]) -> tuple[int, list[str]]:
    """Write entries, checkpoints and files of `scope` to the empty `folder`, with the verifier.

    `names` are what to call the chains. Gives the number of entries, and the digests of files that
    the store no longer holds as they were kept. OSError where the folder can't be written.
    """
    chains: dict[Chain, None] = {}
    with (folder / "entries.jsonl").open("w", encoding="utf-8") as file:
        count = 0
        for entry in scope.entries().iterator():
            file.write(f"{_line(entry)}\n")
            chains.setdefault(chain_of(entry))
            count += 1
    with (folder / "checkpoints.jsonl").open("w", encoding="utf-8") as file:
        file.writelines(f"{line_of(checkpoint)}\n" for checkpoint in stored())
    listed = [[str(c.kind), c.subject_id, names.get(c, f"{c.kind} {c.subject_id}")] for c in chains]
    about = {"format": FORMAT, "whole": scope == Scope(), "chains": listed}
    (folder / "about.json").write_text(json.dumps(about, indent=2), encoding="utf-8")
    shutil.copyfile(Path(standalone.__path__[0]) / VERIFIER, folder / VERIFIER)
    return count, list(_write_files(scope, folder / "files"))


def _line(entry: Entry) -> str:
    line: dict[str, Any] = {"entry": said_by(entry), "payload": entry.payload}
    return json.dumps(line | {"hash": entry.own_hash}, separators=(",", ":"))


def _write_files(scope: Scope, folder: Path) -> Iterator[str]:
    """Write every file once; the digests of those that are lost or damaged."""
    folder.mkdir()
    for model, row, sha256 in named_files(scope):
        if model is Certificate:
            snapshot = row.snapshot.encode()
            (folder / hashlib.sha256(snapshot).hexdigest()).write_bytes(snapshot)
        try:
            (folder / sha256).write_bytes(fetch(sha256))
        except NotAsKept:
            yield sha256
