"""What the register's ledger keeps of each row: everything in the row, so that it can be restated."""

from datetime import date
from typing import Any

from qc.evidence.models import RegisterFile
from qc.ledger.chain import utc_text
from qc.records.models import (
    Batch,
    BatchRecall,
    Calibration,
    CalibrationWithdrawal,
    DataSheet,
    Instrument,
    InstrumentCheck,
    Qualification,
)


def instrument_payload(instrument: Instrument) -> dict[str, Any]:
    """An instrument as it was entered."""
    return {
        "instrument": instrument.pk,
        "identifier": instrument.identifier,
        "kind": instrument.kind,
        "description": instrument.description,
        "range_low": instrument.range_low,
        "range_high": instrument.range_high,
        "resolution": instrument.resolution,
        "uncertainty": instrument.uncertainty,
    }


def calibration_payload(calibration: Calibration) -> dict[str, Any]:
    """A calibration with its certificate."""
    return {
        "calibration": calibration.pk,
        "instrument": calibration.instrument_id,
        "certificate": calibration.certificate,
        "calibrated_on": calibration.calibrated_on.isoformat(),
        "due_on": calibration.due_on.isoformat(),
        "files": _files(calibration),
    }


def withdrawal_payload(withdrawal: CalibrationWithdrawal) -> dict[str, Any]:
    """That a calibration is withdrawn, since when it is bad, and why."""
    return {
        "withdrawal": withdrawal.pk,
        "calibration": withdrawal.calibration_id,
        "bad_since": utc_text(withdrawal.bad_since),
        "reason": withdrawal.reason,
    }


def check_payload(check: InstrumentCheck) -> dict[str, Any]:
    """A check against a reference, and how it came out."""
    return {
        "check": check.pk,
        "instrument": check.instrument_id,
        "occasion": check.occasion,
        "reference": check.reference,
        "nominal": check.nominal,
        "found": check.found,
        "tolerance": check.tolerance,
        "passed": check.passed,
        "checked_at": utc_text(check.checked_at),
    }


def data_sheet_payload(sheet: DataSheet) -> dict[str, Any]:
    """A revision of a data sheet with its figures."""
    return {
        "data_sheet": sheet.pk,
        "product": sheet.product,
        "revision": sheet.revision,
        "values": sheet.values,
        "files": _files(sheet),
    }


def batch_payload(batch: Batch) -> dict[str, Any]:
    """A batch as its label says."""
    return {
        "batch": batch.pk,
        "product": batch.product,
        "part": batch.part,
        "number": batch.number,
        "expiry": _day(batch.expiry),
        "storage": batch.storage,
    }


def recall_payload(recall: BatchRecall) -> dict[str, Any]:
    """That a batch was recalled, and why."""
    return {"recall": recall.pk, "batch": recall.batch_id, "reason": recall.reason}


def qualification_payload(qualification: Qualification) -> dict[str, Any]:
    """What a person may do, and from when until when."""
    return {
        "qualification": qualification.pk,
        "holder": qualification.holder,
        "user": qualification.user_id,
        "trade": qualification.trade,
        "scopes": qualification.scopes,
        "certificate": qualification.certificate,
        "issued_by": qualification.issued_by,
        "valid_from": qualification.valid_from.isoformat(),
        "valid_until": qualification.valid_until.isoformat(),
        "files": _files(qualification),
    }


def _files(row: Calibration | DataSheet | Qualification) -> list[dict[str, Any]]:
    return [_file(file) for file in row.files.order_by("pk")]


def _file(file: RegisterFile) -> dict[str, Any]:
    return {
        "file": file.pk,
        "filename": file.filename,
        "sha256": file.sha256,
        "size": file.size,
        "content_type": file.content_type,
    }


def _day(day: date | None) -> str:
    return day.isoformat() if day else ""
