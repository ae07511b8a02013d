"""The tables of the record."""

from qc.records.models.inspection import (
    LATE_AFTER,
    BatchUse,
    Inspection,
    InstrumentUse,
    Reading,
)
from qc.records.models.plan import Plan, PlanStep
from qc.records.models.register import Batch, Calibration, Instrument
from qc.records.models.release import Certificate, PointClosure, Return, Signature
from qc.records.models.repair import Asset, Repair

__all__ = [
    "LATE_AFTER",
    "Asset",
    "Batch",
    "BatchUse",
    "Calibration",
    "Certificate",
    "Inspection",
    "Instrument",
    "InstrumentUse",
    "Plan",
    "PlanStep",
    "PointClosure",
    "Reading",
    "Repair",
    "Return",
    "Signature",
]
