"""Who shares the record, and what each party may do at a step."""

from enum import StrEnum


class Party(StrEnum):
    """The three parties that share the record."""

    INSPECTOR = "inspector"
    CONTRACTOR = "contractor"
    CLIENT = "client"


class Intervention(StrEnum):
    """What a party does at a step. A hold stops the work; surveillance stops nothing."""

    HOLD = "hold"
    WITNESS = "witness"
    REVIEW = "review"
    SURVEILLANCE = "surveillance"

    @property
    def gates_release(self) -> bool:
        """True where the point must be closed before the certificate."""
        return self is not Intervention.SURVEILLANCE
