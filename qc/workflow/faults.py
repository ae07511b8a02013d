"""What came to light about an instrument or a batch, in words."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from qc.engine.metrology import Span
from qc.engine.nonconformance import Origin
from qc.engine.wording import moment_text, quantity_text
from qc.records.models import BatchRecall, CalibrationWithdrawal, InstrumentCheck


@dataclass(frozen=True, kw_only=True)
class Fault:
    """A fault, in words; `origin` is that of the reports it opens.

    `instrument` or `batch` is the id of what is faulty.
    """

    origin: Origin
    statement: str
    instrument: int | None = None
    batch: int | None = None


def fault_of(row: InstrumentCheck | CalibrationWithdrawal | BatchRecall) -> Fault:
    """The fault that a failed check, a withdrawal or a recall tells of."""
    if isinstance(row, InstrumentCheck):
        return Fault(
            origin=Origin.INSTRUMENT,
            statement=failed_check(row),
            instrument=row.instrument_id,
        )
    if isinstance(row, CalibrationWithdrawal):
        return Fault(
            origin=Origin.INSTRUMENT,
            statement=withdrawn_calibration(row),
            instrument=row.calibration.instrument_id,
        )
    return Fault(
        origin=Origin.BATCH,
        statement=recalled_batch(row),
        batch=row.batch_id,
    )


def failed_check(check: InstrumentCheck) -> str:
    """A failed check in words."""
    zone = ZoneInfo(check.instrument.project.time_zone)
    return (
        f"instrument {check.instrument.identifier} failed its check {check.occasion} use on"
        f" {moment_text(check.checked_at, zone)} ({quantity_text(check.found)} found on"
        f" {check.reference} of {quantity_text(check.nominal)},"
        f" tolerance {quantity_text(check.tolerance)})"
    )


def withdrawn_calibration(withdrawal: CalibrationWithdrawal) -> str:
    """A withdrawn calibration in words."""
    calibration = withdrawal.calibration
    zone = ZoneInfo(calibration.instrument.project.time_zone)
    return (
        f"calibration {calibration.certificate} of instrument {calibration.instrument.identifier}"
        f" is bad since {moment_text(withdrawal.bad_since, zone)} ({withdrawal.reason})"
    )


def recalled_batch(recall: BatchRecall) -> str:
    """A recall in words."""
    return f"batch {recall.batch.number} of {recall.batch.product} is recalled ({recall.reason})"


def span_text(span: Span, zone: ZoneInfo) -> str:
    """From when to when readings are suspect."""
    since = f"since {moment_text(span.since, zone)}" if span.since else "from the first"
    until = f" until {moment_text(span.until, zone)}" if span.until else ""
    return f"{since}{until}"
