"""`manage.py verify_ledger`: recomputes every history from the tables.

One line on standard output for each thing that does not hold. Status 0 if all is sound, 1 if not,
2 for bad use.
"""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from qc.ledger.against import Unusable, read_kept
from qc.ledger.chain import Chain
from qc.ledger.findings import Finding
from qc.management.one_line import BadUse, OneLineCommand
from qc.management.scope import add_scope, chain_names, scope_of
from qc.workflow.verification import Verification, verify


class Command(OneLineCommand):
    """Prints what was looked at once all is sound."""

    help = (
        "Recomputes the ledger from the tables: hashes, payloads, rows, statuses and checkpoints. "
        "Names what is altered, missing, inserted, swapped, truncated or rewritten, a line each. "
        "Status 0 if all holds, 1 if not."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        add_scope(parser)
        parser.add_argument(
            "--checkpoints", metavar="FILE", help="compare with checkpoints kept in this file"
        )
        parser.add_argument(
            "--files", action="store_true", help="read every file and compare its SHA-256 too"
        )

    def answer(self, options: dict[str, Any]) -> int:
        scope = scope_of(options)
        try:
            kept = read_kept(Path(options["checkpoints"])) if options["checkpoints"] else []
        except Unusable as problem:
            raise BadUse(f"--checkpoints: {problem}.") from None
        seen = verify(scope, kept, files=options["files"])
        names = chain_names() if seen.findings else {}
        for finding in seen.findings:
            self.say(line_of(finding, names))
        if not seen.findings:
            self.say(summary_of(seen, files=options["files"]))
        return 1 if seen.findings else 0


def line_of(finding: Finding, names: dict[Chain, str]) -> str:
    """`repair SQT R-014, entry 5: altered: reading 12 is not as stated: values`."""
    chain, position = finding.chain, finding.position
    if chain is None:
        where = "checkpoints" if position is None else f"checkpoint {position}"
        return f"{where}: {finding.fault}: {finding.what}"
    name = names.get(chain, f"{chain.kind} of id {chain.subject_id}")
    entry = "" if position is None else f", entry {position}"
    return f"{name}{entry}: {finding.fault}: {finding.what}"


def summary_of(seen: Verification, *, files: bool) -> str:
    """What was looked at, in a line."""
    read = f", {seen.files} files" if files else "; files not read"
    return (
        f"Sound: {seen.chains} chains, {seen.entries} entries,"
        f" {seen.checkpoints} checkpoints{read}."
    )
