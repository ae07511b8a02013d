"""The tables of the record."""

from qc.records.models.inspection import (
    LATE_AFTER,
    BatchUse,
    Inspection,
    InstrumentUse,
    QualificationUse,
    Reading,
)
from qc.records.models.nonconformance import Handling, Nonconformance
from qc.records.models.notice import Notice, NoticeAnswer
from qc.records.models.plan import (
    Plan,
    PlanAgreement,
    PlanComment,
    PlanMarkup,
    PlanStep,
    PlanTemplate,
)
from qc.records.models.register import (
    Batch,
    BatchRecall,
    Calibration,
    CalibrationWithdrawal,
    DataSheet,
    Instrument,
    InstrumentCheck,
    Qualification,
)
from qc.records.models.release import Certificate, PointClosure, Return, Signature
from qc.records.models.repair import Asset, InspectionDue, Repair

__all__ = [
    "LATE_AFTER",
    "Asset",
    "Batch",
    "BatchRecall",
    "BatchUse",
    "Calibration",
    "CalibrationWithdrawal",
    "Certificate",
    "DataSheet",
    "Handling",
    "Inspection",
    "InspectionDue",
    "Instrument",
    "InstrumentCheck",
    "InstrumentUse",
    "Nonconformance",
    "Notice",
    "NoticeAnswer",
    "Plan",
    "PlanAgreement",
    "PlanComment",
    "PlanMarkup",
    "PlanStep",
    "PlanTemplate",
    "PointClosure",
    "Qualification",
    "QualificationUse",
    "Reading",
    "Repair",
    "Return",
    "Signature",
]
