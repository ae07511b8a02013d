"""What a verification finds: where a history does not hold, and in what way."""

from dataclasses import dataclass
from enum import StrEnum

from qc.ledger.chain import Chain


class Fault(StrEnum):
    """In what way something does not hold."""

    ALTERED = "altered"
    MISSING = "missing"
    INSERTED = "inserted"
    SWAPPED = "swapped"
    TRUNCATED = "truncated"
    REWRITTEN = "rewritten"
    FILE_ALTERED = "file altered"
    FILE_MISSING = "file missing"


@dataclass(frozen=True)
class Finding:
    """One thing that does not hold. `chain` is None for the checkpoints themselves.

    `position` is that of the entry, or of the checkpoint; None where no entry states a row.
    """

    chain: Chain | None
    position: int | None
    fault: Fault
    what: str
