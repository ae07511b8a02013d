"""Letting the acts of a chain run again: where they lead, and whether each was open at its time."""

from collections.abc import Iterable
from dataclasses import dataclass

from qc.engine.lifecycle import TRANSITIONS, Act, Status
from qc.ledger.chain import Entry
from qc.records.models import Return


@dataclass(frozen=True)
class Replayed:
    """Where acts led a repair. `broke_at` is the position of the first act that was not open."""

    status: Status | None
    signing_round: int
    broke_at: int | None = None


def replay(entries: Iterable[Entry]) -> Replayed:
    """Run the acts of a repair from its first entry on, by the table of transitions alone."""
    status: Status | None = None
    signing_round = 1
    for entry in entries:
        after = _after(status, entry)
        if after is None:
            return Replayed(status, signing_round, broke_at=entry.position)
        status = after
        signing_round += len(entry.stated(Return))
    return Replayed(status, signing_round)


def _after(status: Status | None, entry: Entry) -> Status | None:
    if status is None:
        return Status.PLANNED if entry.act == Act.START_REPAIR else None
    for transition in TRANSITIONS:
        if (transition.before, str(transition.act)) == (status, entry.act):
            return transition.after if entry.party in transition.parties else None
    return None
