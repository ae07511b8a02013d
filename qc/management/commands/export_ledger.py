"""`manage.py export_ledger DIR`: entries, checkpoints, files, and a verifier that runs alone."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from qc.management.one_line import BadUse, OneLineCommand
from qc.management.scope import add_scope, chain_names, scope_of
from qc.workflow.export import VERIFIER, export


class Command(OneLineCommand):
    """Status 1 where a file that the record names is lost or damaged; the rest is written."""

    help = (
        "Writes the ledger to DIR, which must be new or empty: entries and checkpoints as JSON, "
        "one a line, the files by their SHA-256, and a verifier that needs only Python."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", metavar="DIR", type=Path)
        add_scope(parser)

    def answer(self, options: dict[str, Any]) -> int:
        folder: Path = options["folder"]
        scope = scope_of(options)
        try:
            folder.mkdir(parents=True, exist_ok=True)
            if any(folder.iterdir()):
                raise BadUse(f"{folder} is not empty.")
            count, lost = export(scope, folder, chain_names())
        except OSError as problem:
            raise BadUse(f"Cannot write {folder}: {problem.strerror}.") from None
        for sha256 in lost:
            self.say(f"Not written, lost or damaged in the store: {sha256}")
        self.say(f"{count} entries: python3 -I -S {folder / VERIFIER} {folder}")
        return 1 if lost else 0
