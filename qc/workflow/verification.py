"""Verifying histories: links, payloads, rows, statuses, checkpoints and files, all recomputed."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from math import inf

from django.db.models import Model

from qc.evidence.audit import check_files
from qc.ledger.against import chains_seen, check_heads, check_outside, check_series, stored
from qc.ledger.chain import Chain, Entry, chain_of, repair_chain
from qc.ledger.checkpoints import Kept
from qc.ledger.findings import Fault, Finding
from qc.ledger.links import broken_link
from qc.ledger.rows import Scope, Unreadable, read, stated_models, subject_of
from qc.ledger.statement import table_of
from qc.ledger.tables import Statements, check_table
from qc.records.models import Asset, Certificate, Repair
from qc.workflow.replay import Replayed, replay
from qc.workflow.restate import STATES

_OF_FILES = (Fault.FILE_ALTERED, Fault.FILE_MISSING)


@dataclass
class Verification:
    """What was looked at, and everything that does not hold."""

    scope: Scope
    chains: int = 0
    entries: int = 0
    files: int = 0
    checkpoints: int = 0
    findings: list[Finding] = field(default_factory=list)
    hashes: dict[Chain, list[str]] = field(default_factory=dict)
    broken: dict[Chain | None, Finding] = field(default_factory=dict)
    statements: Statements = field(default_factory=Statements)
    replayed: dict[int, Replayed] = field(default_factory=dict)


def verify(scope: Scope, outside: Sequence[Kept] = (), *, files: bool = False) -> Verification:
    """Recompute the histories of `scope` from the tables.

    `outside` are the checkpoints kept outside the database; with `files` the store is read too.
    """
    seen = Verification(scope)
    for chain, entries in _chains(scope):
        _check_chain(seen, chain, entries)
    _check_tables(seen)
    _check_statuses(seen)
    _check_checkpoints(seen, outside)
    if files:
        seen.files, found = check_files(scope, seen.statements)
        seen.findings += found
    seen.findings = _told_once(seen)
    return seen


def _chains(scope: Scope) -> Iterator[tuple[Chain, list[Entry]]]:
    entries = (_readable(entry) for entry in read(scope.entries()))
    for chain, group in groupby(entries, key=chain_of):
        yield chain, list(group)


def _readable(entry: Entry | Unreadable) -> Entry:
    """An entry that can't be read keeps its place, so that the chain breaks there."""
    if isinstance(entry, Entry):
        return entry
    kept = ("pk", "kind", "subject_id", "position", "act", "previous_hash", "own_hash")
    return Entry(payload={}, **Entry.objects.filter(pk=entry.pk).values(*kept).get())


def _check_chain(seen: Verification, chain: Chain, entries: list[Entry]) -> None:
    seen.chains += 1
    seen.entries += len(entries)
    seen.hashes[chain] = [entry.own_hash for entry in entries]
    broken = broken_link(chain, entries)
    if broken is not None:
        seen.broken[chain] = broken
        seen.findings.append(broken)
    for entry in entries:
        seen.statements.add(chain, entry)
        if not _is_an_acts(entry):
            what = f"no act leaves such an entry ({entry.act})"
            seen.findings.append(Finding(chain, entry.position, Fault.INSERTED, what))
    if chain.is_a_repairs and broken is None:
        _replay(seen, chain, entries)


def _is_an_acts(entry: Entry) -> bool:
    """True if an entry states rows that its act writes, and some of the act's own table."""
    tables = [table_of(model) for model in STATES[entry.act]]  # type: ignore[index]
    stated = set(entry.payload) if isinstance(entry.payload, dict) else set()
    return bool(entry.payload) and tables[0] in stated and stated <= set(tables)


def _replay(seen: Verification, chain: Chain, entries: list[Entry]) -> None:
    replayed = replay(entries)
    if replayed.broke_at is not None:
        entry = entries[replayed.broke_at - 1]
        what = f"{entry.act} was not open to the {entry.party} then"
        seen.findings.append(Finding(chain, replayed.broke_at, Fault.REWRITTEN, what))
    else:
        seen.replayed[chain.subject_id] = replayed


def _check_tables(seen: Verification) -> None:
    """Every table whose rows entries state, those first to which rows of others belong."""
    by_depth = sorted(stated_models(), key=lambda model: subject_of(model)[1].count("__"))
    tables: list[type[Model]] = [Repair, *by_depth]
    if seen.scope.projects != frozenset():
        # Several repairs speak of a component; the latest word on it may be another's.
        tables.append(Asset)
    unstated: set[tuple[str, int]] = set()
    for model in tables:
        seen.findings += check_table(model, seen.scope, seen.statements, unstated)
    seen.findings += seen.statements.doubled


def _check_statuses(seen: Verification) -> None:
    for repair in read(seen.scope.rows(Repair)):
        replayed = seen.replayed.get(repair.pk)
        if isinstance(repair, Unreadable) or replayed is None:
            continue
        led_to = (str(replayed.status), replayed.signing_round)
        if led_to != (repair.status, repair.signing_round):
            what = (
                f"the repair stands at {repair.status}, signing round {repair.signing_round},"
                f" and its entries lead to {led_to[0]}, round {led_to[1]}"
            )
            chain = repair_chain(repair.pk)
            seen.findings.append(Finding(chain, None, Fault.ALTERED, what))


def _check_checkpoints(seen: Verification, outside: Sequence[Kept]) -> None:
    in_table = stored()
    seen.checkpoints = len(in_table) + len(outside)
    seen.findings += check_series(in_table, "in the table", gapless=True)
    seen.findings += check_series(outside, "kept outside", gapless=False)
    seen.findings += check_outside(in_table, outside)
    kept = [*in_table, *outside, *_printed(seen.scope)]
    chains = sorted(
        (chain for chain in chains_seen(kept) if seen.scope.includes(chain)),
        key=lambda chain: (chain.kind, chain.subject_id),
    )
    sound = {c: (f.position or 1) - 1 for c, f in seen.broken.items() if c is not None}
    seen.findings += check_heads(seen.hashes, kept, chains, sound)


def _printed(scope: Scope) -> Iterator[Kept]:
    """What the certificates print of their chains: a head that is known outside, as a checkpoint's.

    A snapshot that was changed shows in its row.
    """
    for certificate in read(scope.rows(Certificate)):
        try:
            ledger = json.loads(certificate.snapshot)["ledger"]
            head = ["repair", certificate.repair_id, int(ledger["length"]), str(ledger["head"])]
        except (AttributeError, KeyError, TypeError, ValueError):
            continue
        yield {"heads": [head]}


def _told_once(seen: Verification) -> list[Finding]:
    """In the order of chains and positions; what another finding explains is not told again."""
    cut = {f.chain for f in seen.findings if f.fault is Fault.TRUNCATED}
    told = (f for f in seen.findings if not _explained(f, seen.broken.get(f.chain), cut))
    return sorted(told, key=_place)


def _explained(finding: Finding, broken: Finding | None, cut: set[Chain | None]) -> bool:
    """True for what follows from a broken link, or for a status that a cut tail explains."""
    if finding.position is None and finding.fault is Fault.ALTERED:
        return finding.chain in cut
    if broken is None or finding is broken or finding.fault in _OF_FILES:
        return False
    if finding.position is None:
        return broken.fault is Fault.MISSING
    return finding.position == broken.position


def _place(finding: Finding) -> tuple[str, int, float]:
    kind, subject = (finding.chain.kind, finding.chain.subject_id) if finding.chain else ("", 0)
    return kind, subject, inf if finding.position is None else finding.position
