"""What has been recorded on a step, by series: readings, findings, who, when and with what."""

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from django.urls import reverse

from qc.engine.lifecycle import Act
from qc.engine.wording import day_text, moment_text, results_of, sheet_of
from qc.records.models import Inspection
from qc.records.progress import StepProgress, day_at_site
from qc.web.loading import RepairInHand

MOST_IN_A_LINE = 120
"""A computed list longer than these signs is left to the record."""


def series_shown(hand: RepairInHand, progress: StepProgress) -> list[dict[str, Any]]:
    """The series of inspections, the latest first, and in each the latest inspection first."""
    shown = []
    newest_first = list(reversed(progress.inspections))
    for number, group in groupby(newest_first, key=lambda inspection: inspection.series):
        inspections = list(group)
        shown.append(
            {
                "number": number,
                "rework": next((i.rework for i in inspections if i.rework), ""),
                "inspections": [_inspection(hand, progress, i) for i in inspections],
            }
        )
    return shown


def _inspection(
    hand: RepairInHand, progress: StepProgress, inspection: Inspection
) -> dict[str, Any]:
    corrected_by = next((i for i in progress.inspections if i.corrects_id == inspection.pk), None)
    return {
        "id": inspection.pk,
        "outcome": inspection.outcome,
        "verdict": inspection.verdict,
        "is_latest": inspection == progress.latest,
        "corrected_by": corrected_by,
        "corrects": inspection.corrects_id,
        "reason": inspection.reason,
        "observed": moment_text(inspection.observed_at, hand.zone),
        "late": _late(hand, inspection),
        "facts": _facts(hand, inspection),
        "results": _results(hand, inspection),
        **_table(hand, inspection),
        "correct_url": _correct_url(hand, progress, inspection),
    }


def _late(hand: RepairInHand, inspection: Inspection) -> str:
    if not inspection.is_late:
        return ""
    return f"Late entry: recorded {moment_text(inspection.recorded_at, hand.zone)}"


def _facts(hand: RepairInHand, inspection: Inspection) -> list[dict[str, str]]:
    """Who, when and with what."""
    facts = [
        ("Recorded by", inspection.recorded_by_name),
        ("Recorded at", moment_text(inspection.recorded_at, hand.zone)),
        ("Instruments", "; ".join(_instruments(hand, inspection))),
        ("Batches", "; ".join(_batches(inspection))),
        ("Remarks", inspection.remarks),
    ]
    return [{"term": term, "definition": said} for term, said in facts if said]


def _instruments(hand: RepairInHand, inspection: Inspection) -> list[str]:
    day = day_at_site(inspection, hand.zone)
    said = []
    for use in inspection.instrument_uses.all():
        calibration = use.instrument.calibration_on(day)
        state = (
            f"certificate {calibration.certificate}, due {day_text(calibration.due_on)}"
            if calibration
            else "OUT OF CALIBRATION on the day"
        )
        said.append(f"{use.instrument}, {state}")
    return said


def _batches(inspection: Inspection) -> list[str]:
    said = []
    for use in inspection.batch_uses.all():
        expiry = use.batch.expiry
        good = f"good through {day_text(expiry)}" if expiry else "no expiry on record"
        said.append(f"{use.batch}, {good}")
    return said


def _table(hand: RepairInHand, inspection: Inspection) -> dict[str, Any]:
    sheet = sheet_of(
        inspection.step.checks,
        [reading.values for reading in inspection.readings.all()],
        inspection.verdict,
        inspection.criteria,
        units=hand.repair.units,
        zone=hand.zone,
    )
    columns = [{"label": column.heading, "numeric": column.numeric} for column in sheet.columns]
    numbered = [{"label": "Reading", "tight": True}, *columns]
    rows = [
        {"cells": [{"text": str(number)}, *({"text": cell} for cell in row)]}
        for number, row in enumerate(sheet.rows, start=1)
    ]
    return {"columns": numbered, "rows": rows}


def _results(hand: RepairInHand, inspection: Inspection) -> list[dict[str, str]]:
    results: Sequence[tuple[str, str]] = results_of(
        inspection.step.checks,
        inspection.verdict,
        inspection.criteria,
        units=hand.repair.units,
        zone=hand.zone,
    )
    return [
        {"term": label, "definition": text}
        for label, text in results
        if len(text) <= MOST_IN_A_LINE
    ]


def _correct_url(hand: RepairInHand, progress: StepProgress, inspection: Inspection) -> str:
    if not hand.may(Act.CORRECT_INSPECTION) or inspection not in progress.standing:
        return ""
    return reverse(
        "correct_inspection", args=[hand.repair.pk, progress.step.position, inspection.pk]
    )


def latest_verdict(progress: StepProgress) -> Mapping[str, Any] | None:
    """The verdict that stands for the step, in the case format."""
    return progress.latest.verdict if progress.latest else None
