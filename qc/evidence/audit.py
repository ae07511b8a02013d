"""The files that rows name, against what the store holds."""

from collections.abc import Iterator
from typing import Any

from django.db.models import Model

from qc.evidence.models import Evidence, RegisterFile
from qc.evidence.store import Damaged, Lost, fetch
from qc.ledger.chain import Chain
from qc.ledger.findings import Fault, Finding
from qc.ledger.rows import Scope, Unreadable, read, subject_of
from qc.ledger.statement import table_of
from qc.ledger.tables import Statements
from qc.records.models import Certificate

NAMED_BY: tuple[tuple[type[Model], str], ...] = (
    (Evidence, "sha256"),
    (RegisterFile, "sha256"),
    (Certificate, "pdf_digest"),
)
"""The tables that name files, and the column with the file's SHA-256."""


def named_files(scope: Scope) -> Iterator[tuple[type[Model], Any, str]]:
    """`(model, row, sha256)` of every file that a row in these chains names."""
    for model, column in NAMED_BY:
        for row in read(scope.rows(model)):
            if not isinstance(row, Unreadable):
                yield model, row, getattr(row, column)


def check_files(scope: Scope, said: Statements) -> tuple[int, list[Finding]]:
    """How many files the rows name, and what does not hold of those in the store."""
    count, found = 0, []
    for model, row, sha256 in named_files(scope):
        count += 1
        fault = _fault(sha256)
        if fault is not None:
            word = said.by_table[table_of(model)].get(row.pk)
            chain = Chain(subject_of(model)[0], row.subject)
            what = f"{sha256}, which {table_of(model)} {row.pk} names"
            found.append(Finding(chain, word.position if word else None, fault, what))
    return count, found


def _fault(sha256: str) -> Fault | None:
    try:
        fetch(sha256)
    except Damaged:
        return Fault.FILE_ALTERED
    except Lost:
        return Fault.FILE_MISSING
    return None
