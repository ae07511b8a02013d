"""What entries state against what the tables hold, in both directions."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.db.models import DateTimeField, Model

from qc.ledger.chain import Chain
from qc.ledger.findings import Fault, Finding
from qc.ledger.links import digest_or_none
from qc.ledger.models import Entry
from qc.ledger.rows import Scope, Unreadable, parent_of, read, stated_models, subject_of
from qc.ledger.sealed import Sealed
from qc.ledger.statement import content, table_of

_SAID_OF_THE_WORK = frozenset({"observed_at", "scheduled_at", "checked_at", "bad_since"})
"""Moments that a person names; every other moment of a row is when it was written."""


@dataclass(frozen=True)
class Said:
    """What an entry states of one row: `digest` is that of the row's content."""

    chain: Chain
    position: int
    at: datetime
    digest: str | None
    columns: dict[str, Any]


@dataclass
class Statements:
    """What the entries of some chains state, by table and id of the row; each chain's last entry.

    `doubled` are the findings of rows that two entries state.
    """

    by_table: dict[str, dict[int, Said]] = field(default_factory=lambda: defaultdict(dict))
    last: dict[Chain, datetime] = field(default_factory=dict)
    doubled: list[Finding] = field(default_factory=list)
    sealed: frozenset[str] = field(
        default_factory=lambda: frozenset(table_of(model) for model in stated_models())
    )

    def add(self, chain: Chain, entry: Entry) -> None:
        """Take in what an entry states. Of a row that is not sealed the latest word counts."""
        self.last[chain] = entry.recorded_at
        for table, rows in _stated(entry):
            for columns in rows:
                said = Said(
                    chain, entry.position, entry.recorded_at, digest_or_none(columns), columns
                )
                self._add(table, columns["id"], said)

    def _add(self, table: str, key: int, said: Said) -> None:
        earlier = self.by_table[table].get(key)
        if earlier is not None and table in self.sealed:
            place = "" if earlier.chain == said.chain else " of another chain"
            what = f"it states {table} {key}, which entry {earlier.position}{place} states already"
            self.doubled.append(Finding(said.chain, said.position, Fault.INSERTED, what))
        elif earlier is None or said.at >= earlier.at:
            self.by_table[table][key] = said


def check_table(
    model: type[Model], scope: Scope, said: Statements, unstated: set[tuple[str, int]]
) -> Iterator[Finding]:
    """What does not hold between a table's rows and what entries state of them.

    `unstated` collects the rows that no entry states; a row that belongs to one is not told again.
    """
    table = table_of(model)
    stated, seen = said.by_table[table], set()
    for row in read(scope.rows(model)):
        seen.add(row.pk)
        word = stated.get(row.pk)
        if word is not None:
            yield from _compared(table, row, word, model)
        else:
            unstated.add((table, row.pk))
            yield from _unstated(model, row, said, unstated)
    for key in stated.keys() - seen:
        what = f"{table} {key}, which it states, is not there"
        yield Finding(stated[key].chain, stated[key].position, Fault.MISSING, what)


def _stated(entry: Entry) -> Iterable[tuple[str, list[dict[str, Any]]]]:
    """The rows of a payload, as far as it has the form of one."""
    payload = entry.payload if isinstance(entry.payload, dict) else {}
    for table, rows in payload.items():
        rows = rows if isinstance(rows, list) else []
        yield (
            table,
            [row for row in rows if isinstance(row, dict) and isinstance(row.get("id"), int)],
        )


def _compared(table: str, row: Any, word: Said, model: type[Model]) -> Iterator[Finding]:
    if isinstance(row, Unreadable):
        what = f"{table} {row.pk} can't be read"
        yield Finding(word.chain, word.position, Fault.ALTERED, what)
        return
    now = content(row)
    if digest_or_none(now) != word.digest:
        changed = [name for name in now if now[name] != word.columns.get(name)]
        what = f"{table} {row.pk} is not as stated: {', '.join(changed) or 'other columns'}"
        yield Finding(word.chain, word.position, Fault.ALTERED, what)
    elif table_of(model) != "asset" and Chain(subject_of(model)[0], row.subject) != word.chain:
        what = f"{table} {row.pk} does not belong to this chain"
        yield Finding(word.chain, word.position, Fault.ALTERED, what)


def _unstated(
    model: type[Model], row: Any, said: Statements, unstated: set[tuple[str, int]]
) -> Iterator[Finding]:
    table = table_of(model)
    if isinstance(row, Unreadable):
        yield Finding(None, None, Fault.INSERTED, f"no entry states {table} {row.pk}")
        return
    parent = parent_of(model)
    if (table_of(parent.related_model), getattr(row, parent.attname)) in unstated:
        return
    chain = Chain(subject_of(model)[0], row.subject)
    if _comes_after(row, said, chain):
        what = f"no entry states {table} {row.pk}, written after the last one: the tail is cut"
        yield Finding(chain, None, Fault.TRUNCATED, what)
    else:
        yield Finding(chain, None, Fault.INSERTED, f"no entry states {table} {row.pk}")


def _comes_after(row: Any, said: Statements, chain: Chain) -> bool:
    """True if a row was written after the last entry of its chain, by its moment or else its id."""
    last = said.last.get(chain)
    moments = [getattr(row, f.attname) for f in row._meta.concrete_fields if _is_written(f)]
    if last is None or any(moment is not None and moment > last for moment in moments):
        return True
    # What has no moment belongs to a row that has one, and that one is stated.
    model: type[Model] = type(row)
    of_another = issubclass(parent_of(model).related_model, Sealed)
    if any(moment is None or moment < last for moment in moments) or (of_another and not moments):
        return False
    ids = [k for k, word in said.by_table[table_of(type(row))].items() if word.chain == chain]
    return row.pk > max(ids, default=0)


def _is_written(column: Any) -> bool:
    return isinstance(column, DateTimeField) and column.attname not in _SAID_OF_THE_WORK
