"""A history against the checkpoints that were taken of it, in the table and kept outside."""

import json
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from qc.ledger.chain import GENESIS, Chain
from qc.ledger.checkpoints import Kept, hash_of_kept, heads_by_chain, missing_from
from qc.ledger.findings import Fault, Finding
from qc.ledger.models import Kind

Hashes = Mapping[Chain, Sequence[str]]
"""The hashes of each chain's entries, in their order."""


class Unusable(ValueError):
    """A file of checkpoints that can't be read; the message names file, line and problem."""


def read_kept(path: Path) -> list[Kept]:
    """The checkpoints of a file, one a line. Unusable where it can't be read as that."""
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as problem:
        said = getattr(problem, "strerror", None) or "it is not text"
        raise Unusable(f"{path}: {said}") from None
    return [_kept(path, number, line) for number, line in enumerate(lines, start=1) if line.strip()]


def check_series(kept: Sequence[Kept], where: str, *, gapless: bool) -> Iterator[Finding]:
    """The first checkpoint of a series that does not hold; `where` names the series.

    What is kept outside need not be all; of the table's, none may be missing.
    """
    previous: Mapping[str, Any] = {"position": 0, "hash": GENESIS}
    for checkpoint in kept:
        position = checkpoint["position"]
        fault = _fault(checkpoint, previous, gapless)
        if fault is not None:
            yield Finding(None, position, fault, f"of those {where}")
            return
        previous = checkpoint


def check_outside(stored: Sequence[Kept], outside: Sequence[Kept]) -> Iterator[Finding]:
    """The first checkpoint kept outside that the table does not have just so."""
    by_position = {checkpoint["position"]: checkpoint for checkpoint in stored}
    for checkpoint in outside:
        position = checkpoint["position"]
        there = by_position.get(position)
        if there is None:
            cut = position > max(by_position, default=0)
            fault = Fault.TRUNCATED if cut else Fault.MISSING
            yield Finding(None, position, fault, "it is kept outside and not in the table")
            return
        if there["hash"] != checkpoint["hash"]:
            yield Finding(None, position, Fault.REWRITTEN, "the one kept outside is another")
            return


def check_heads(
    hashes: Hashes, kept: Sequence[Kept], chains: Sequence[Chain], sound: Mapping[Chain, int]
) -> Iterator[Finding]:
    """What the checkpoints saw of each of these chains against its entries now.

    `sound` says of a broken chain how many entries hold: what was seen beyond tells nothing new.
    """
    seen = heads_by_chain(kept)
    for chain in chains:
        most = sound.get(chain)
        lengths = {n: h for n, h in seen.get(chain, {}).items() if most is None or n <= most}
        finding = _head_finding(chain, hashes.get(chain, ()), lengths)
        if finding is not None:
            yield finding


def _head_finding(
    chain: Chain, hashes: Sequence[str], seen: Mapping[int, set[str]]
) -> Finding | None:
    good = 0
    for length, heads in sorted(seen.items()):
        if length > len(hashes):
            what = f"a checkpoint saw {length} entries and there are {len(hashes)}"
            return Finding(chain, len(hashes) + 1, Fault.TRUNCATED, what)
        if heads != {hashes[length - 1]}:
            which = f"entries {good + 1} to {length}" if length > good + 1 else f"entry {length}"
            what = f"{which} of a checkpoint had another hash"
            return Finding(chain, good + 1, Fault.REWRITTEN, what)
        good = length
    return None


def _fault(checkpoint: Kept, previous: Mapping[str, Any], gapless: bool) -> Fault | None:
    if checkpoint["hash"] != hash_of_kept(checkpoint):
        return Fault.ALTERED
    gap = checkpoint["position"] - previous["position"] - 1
    if gap < 0:
        return Fault.SWAPPED
    if gap > 0:
        return Fault.MISSING if gapless else None
    return None if checkpoint["previous"] == previous["hash"] else Fault.REWRITTEN


def _kept(path: Path, number: int, line: str) -> Kept:
    try:
        kept = json.loads(line)
        if set(kept) != {"position", "taken_at", "occasion", "heads", "previous", "hash"}:
            raise ValueError
        heads_by_chain([kept])
        if not isinstance(kept["position"], int):
            raise ValueError
    except (TypeError, ValueError):
        raise Unusable(f"{path}, line {number}: this is no checkpoint") from None
    return dict(kept)


def chains_seen(kept: Sequence[Kept]) -> set[Chain]:
    """The chains of which the checkpoints tell."""
    return {Chain(Kind(kind), subject) for c in kept for kind, subject, _, _ in c["heads"]}


def line_of(kept: Kept) -> str:
    """A checkpoint as a line of a file."""
    return json.dumps(kept, ensure_ascii=True, separators=(",", ":"))


def unlike_the_table(outside: Sequence[Kept]) -> str | None:
    """How checkpoints kept outside differ from the table's; None where they are among them."""
    for finding in (
        *check_series(outside, "kept outside", gapless=False),
        *check_outside(stored(), outside),
    ):
        return f"checkpoint {finding.position} is {finding.fault}, {finding.what}"
    return None


def stored() -> list[Kept]:
    """The checkpoints in the table."""
    return missing_from([])
