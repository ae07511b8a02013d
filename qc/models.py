"""Django's door to the tables; everyone else imports them from their rooms."""

from qc.accounts.models import Membership, Organisation, Project, User
from qc.evidence.models import Evidence
from qc.ledger.models import Entry
from qc.records.models import (
    Asset,
    Batch,
    BatchUse,
    Calibration,
    Certificate,
    Inspection,
    Instrument,
    InstrumentUse,
    Plan,
    PlanStep,
    PointClosure,
    Reading,
    Repair,
    Return,
    Signature,
)

__all__ = [
    "Asset",
    "Batch",
    "BatchUse",
    "Calibration",
    "Certificate",
    "Entry",
    "Evidence",
    "Inspection",
    "Instrument",
    "InstrumentUse",
    "Membership",
    "Organisation",
    "Plan",
    "PlanStep",
    "PointClosure",
    "Project",
    "Reading",
    "Repair",
    "Return",
    "Signature",
    "User",
]
