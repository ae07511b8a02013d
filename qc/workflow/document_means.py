"""With what and by whom inspections were made, as the record keeps it."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from qc.ledger.canonical import utc_text
from qc.records.models import (
    Calibration,
    Inspection,
    Instrument,
    InstrumentCheck,
    Repair,
    Signature,
)
from qc.records.progress import StepProgress, day_at_site

Checks = Mapping[int, Sequence[InstrumentCheck]]
"""The checks of instruments by the instrument's id, oldest first."""


def checks_for(repair: Repair, progress: Sequence[StepProgress]) -> Checks:
    """The checks of all instruments used, but for those entered since the signing began.

    What is signed stays as it was; a check that fails later opens a report and says so there.
    """
    used = {
        use.instrument_id
        for step in progress
        for inspection in step.inspections
        for use in inspection.instrument_uses.all()
    }
    found: dict[int, list[InstrumentCheck]] = defaultdict(list)
    rows = InstrumentCheck.objects.filter(instrument__in=used).order_by("checked_at", "pk")
    since = _signing_began(repair)
    for check in rows.filter(recorded_at__lte=since) if since else rows:
        found[check.instrument_id].append(check)
    return found


def _signing_began(repair: Repair) -> datetime | None:
    signatures = Signature.objects.filter(repair=repair, signing_round=repair.signing_round)
    return signatures.order_by("signed_at").values_list("signed_at", flat=True).first()


def instruments_of(inspection: Inspection, repair: Repair, checks: Checks) -> list[dict[str, Any]]:
    """The instruments of an inspection with what their certificates and checks say."""
    day = day_at_site(inspection, ZoneInfo(repair.project.time_zone))
    return [
        _instrument(
            use.instrument,
            use.instrument.calibration_on(day),
            _around(checks.get(use.instrument_id, ()), inspection.observed_at),
        )
        for use in inspection.instrument_uses.all()
    ]


def _instrument(
    instrument: Instrument, calibration: Calibration | None, checks: Sequence[InstrumentCheck]
) -> dict[str, Any]:
    return {
        "identifier": instrument.identifier,
        "kind": instrument.kind,
        "description": instrument.description,
        "range_low": instrument.range_low,
        "range_high": instrument.range_high,
        "resolution": instrument.resolution,
        "uncertainty": instrument.uncertainty,
        "certificate": calibration.certificate if calibration else "",
        "due_on": calibration.due_on.isoformat() if calibration else "",
        "checks": [_check(check) for check in checks],
    }


def _around(checks: Sequence[InstrumentCheck], moment: datetime) -> list[InstrumentCheck]:
    """The last check before a moment and the first one after it."""
    before = [check for check in checks if check.checked_at <= moment]
    after = [check for check in checks if check.checked_at > moment]
    return [*before[-1:], *after[:1]]


def _check(check: InstrumentCheck) -> dict[str, Any]:
    return {
        "occasion": check.occasion,
        "reference": check.reference,
        "nominal": check.nominal,
        "found": check.found,
        "tolerance": check.tolerance,
        "passed": check.passed,
        "at": utc_text(check.checked_at),
    }


def batches_of(inspection: Inspection) -> list[dict[str, Any]]:
    """The batches that went into the work of an inspection."""
    return [
        {
            "product": use.batch.product,
            "part": use.batch.part,
            "number": use.batch.number,
            "expiry": use.batch.expiry.isoformat() if use.batch.expiry else "",
            "storage": use.batch.storage,
        }
        for use in inspection.batch_uses.all()
    ]


def people_of(inspection: Inspection) -> list[dict[str, Any]]:
    """The qualified people of an inspection."""
    return [
        {
            "holder": use.qualification.holder,
            "trade": use.qualification.trade,
            "scopes": use.qualification.scopes,
            "certificate": use.qualification.certificate,
            "issued_by": use.qualification.issued_by,
            "valid_until": use.qualification.valid_until.isoformat(),
        }
        for use in inspection.qualification_uses.all()
    ]
