"""The links of a chain: each entry in its place, after the entry it was written after."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from qc.ledger.canonical import digest
from qc.ledger.chain import GENESIS, Chain, hash_of
from qc.ledger.findings import Fault, Finding
from qc.ledger.models import Entry


def broken_link(chain: Chain, entries: Sequence[Entry]) -> Finding | None:
    """The first entry of a chain that does not hold, and how; None if all do.

    `entries` are all of the chain, by position. What comes after the first break can't be judged.
    """
    previous = GENESIS
    for expected, entry in enumerate(entries, start=1):
        if not _holds(entry, expected, previous):
            return _Break(chain, entries, expected).told()
        previous = entry.own_hash
    return None


def digest_or_none(content: Any) -> str | None:
    """The digest of what was read from a table; None if it has no canonical form at all."""
    try:
        return digest(content)
    except (TypeError, ValueError):
        return None


def hash_or_none(entry: Entry) -> str | None:
    """The hash over an entry as it was read; None if a column of it is no longer what it was."""
    try:
        return hash_of(entry)
    except (AttributeError, TypeError, ValueError):
        return None


def _holds(entry: Entry, position: int, previous: str) -> bool:
    return (
        entry.position == position
        and entry.previous_hash == previous
        and _is_whole(entry)
        and entry.own_hash == hash_or_none(entry)
    )


def _is_whole(entry: Entry) -> bool:
    return entry.payload_digest == digest_or_none(entry.payload)


@dataclass(frozen=True)
class _Break:
    """The first break of a chain, at position `at`; entries after it help to tell what happened."""

    chain: Chain
    entries: Sequence[Entry]
    at: int

    @property
    def entry(self) -> Entry:
        return self.entries[self.at - 1]

    def told(self) -> Finding:
        """What happened, as far as the entries show."""
        if self.entry.position > self.at:
            return self._finding(Fault.MISSING, self.at, "there is no entry in this place")
        return self._swap() or self._shift() or self._change()

    def _swap(self) -> Finding | None:
        for other in self.entries[self.at :]:
            if _exchanged(self.entry, other):
                what = f"it stands in the place of entry {other.position}, and that one in its own"
                return self._finding(Fault.SWAPPED, self.at, what)
        return None

    def _shift(self) -> Finding | None:
        """Entries that were pushed up or down say so: their hash is that of another place."""
        home = self._home(self.entry)
        if home is not None and home > self.at:
            return self._finding(Fault.MISSING, self.at, "the entries after it were moved up")
        if home is not None and home < self.at:
            return self._finding(Fault.INSERTED, home, "the entries after it were moved down")
        following = self.entries[self.at] if self.at < len(self.entries) else None
        if following is not None and self._home(following) == self.at:
            return self._finding(Fault.INSERTED, self.at, "the entries after it were moved down")
        return None

    def _change(self) -> Finding:
        if not _is_whole(self.entry):
            return self._finding(Fault.ALTERED, self.at, "its payload is not what was hashed")
        if self.entry.own_hash != hash_or_none(self.entry):
            return self._finding(Fault.ALTERED, self.at, "it is not what was hashed")
        if self._was_written_after_another():
            what = f"entry {self.at} was written after another one than this"
            return self._finding(Fault.ALTERED, self.at - 1, what)
        return self._finding(Fault.ALTERED, self.at, "it does not follow the entry before")

    def _was_written_after_another(self) -> bool:
        """The entry is as it was, so that it is the one before it that changed."""
        if self.at == 1:
            return False
        following = self.entries[self.at :][:1]
        return all(entry.previous_hash == self.entry.own_hash for entry in following)

    def _home(self, entry: Entry) -> int | None:
        """The place, other than its own, for which the hash of `entry` was made."""
        last = self.entries[-1].position
        places = (place for place in range(1, last + 2) if place != entry.position)
        return next((p for p in places if hash_or_none(_moved(entry, p)) == entry.own_hash), None)

    def _finding(self, fault: Fault, position: int, what: str) -> Finding:
        return Finding(self.chain, position, fault, what)


def _exchanged(one: Entry, other: Entry) -> bool:
    """Each says what was hashed in the place of the other: whole rows, or their payloads."""
    rows = _speaks_for(one, other) and _speaks_for(other, one)
    ones, others = digest_or_none(one.payload), digest_or_none(other.payload)
    payloads = (ones, others) == (other.payload_digest, one.payload_digest) and ones != others
    return rows or payloads


def _speaks_for(entry: Entry, other: Entry) -> bool:
    """What `entry` says has the hash of the other's place, whichever of them carries that hash."""
    in_place = hash_or_none(_moved(entry, other.position, other.previous_hash)) == other.own_hash
    return in_place or hash_or_none(_moved(entry, other.position)) == entry.own_hash


def _moved(entry: Entry, position: int, previous: str | None = None) -> Entry:
    """A copy of `entry` as it would stand elsewhere."""
    columns = {f.attname: getattr(entry, f.attname) for f in Entry._meta.concrete_fields}
    columns["position"] = position
    columns["previous_hash"] = previous or entry.previous_hash
    return Entry(**columns)
