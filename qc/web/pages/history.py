"""What has been recorded on a step, by series: readings, findings, who, when and with what."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from itertools import groupby
from typing import Any

from django.urls import reverse

from qc.engine.lifecycle import Act
from qc.engine.wording import Sheet, day_text, joined, moment_text, results_of, sheet_of
from qc.records.models import Inspection
from qc.records.progress import StepProgress, day_at_site
from qc.web.loading import RepairInHand

TAKEN_AT = "at"
"""The field that says when a reading was taken, where a characteristic has one."""

MOST_IN_A_LINE = 120
"""A computed list longer than these signs is left to the record."""


def series_shown(hand: RepairInHand, progress: StepProgress) -> list[dict[str, Any]]:
    """The series of a step, the latest first: a table of readings, and its inspections."""
    shown = []
    newest_first = list(reversed(progress.inspections))
    for number, group in groupby(newest_first, key=lambda inspection: inspection.series):
        inspections = list(group)
        shown.append(
            {
                "number": number,
                "caption": f"Readings of step {progress.step.position}, series {number}",
                "rework": next((i.rework for i in inspections if i.rework), ""),
                "older_plan": _older_plan(progress, inspections[0]),
                "inspections": [_inspection(hand, progress, i) for i in inspections],
                **_table(hand, inspections, progress.corrected),
            }
        )
    return shown


def _older_plan(progress: StepProgress, inspection: Inspection) -> int:
    """The revision under which a series was judged, where it no longer counts; else 0."""
    return 0 if inspection in progress.counting else inspection.step.plan.revision


def latest_verdict(progress: StepProgress) -> Mapping[str, Any] | None:
    """The verdict that stands for the step, in the case format."""
    return progress.latest.verdict if progress.latest else None


def _table(
    hand: RepairInHand, inspections: Sequence[Inspection], corrected: frozenset[int]
) -> dict[str, Any]:
    """All readings of a series as they were observed, those corrected later struck through."""
    ordered = sorted(inspections, key=lambda i: (i.observed_at, i.pk))
    sheet = _sheet(hand, ordered)
    columns = [{"label": column.heading, "numeric": column.numeric} for column in sheet.columns]
    taken = [
        (moment, inspection.pk in corrected)
        for inspection in ordered
        for moment in _moments(inspection)
    ]
    rows = [
        {
            "cells": [
                {"text": moment_text(moment, hand.zone) + (", corrected" if gone else "")},
                *({"text": cell} for cell in row),
            ],
            "state": "struck" if gone else "",
        }
        for (moment, gone), row in zip(taken, sheet.rows, strict=True)
    ]
    return {"columns": [{"label": "Taken", "tight": True}, *columns], "rows": rows}


def _moments(inspection: Inspection) -> Iterator[datetime]:
    """When each reading was taken: as it says itself, else when the inspection was made."""
    for reading in inspection.readings.all():
        said = reading.values.get(TAKEN_AT)
        yield datetime.fromisoformat(said) if said else inspection.observed_at


def _sheet(hand: RepairInHand, ordered: Sequence[Inspection]) -> Sheet:
    readings, verdict = joined(
        [
            ([r.values for r in inspection.readings.all()], inspection.verdict)
            for inspection in ordered
        ]
    )
    sheet = sheet_of(
        ordered[-1].step.checks,
        readings,
        verdict,
        ordered[-1].criteria,
        units=hand.repair.units,
        zone=hand.zone,
    )
    kept = [i for i, column in enumerate(sheet.columns) if column.name != TAKEN_AT]
    return replace(
        sheet,
        columns=tuple(sheet.columns[i] for i in kept),
        rows=tuple(tuple(row[i] for i in kept) for row in sheet.rows),
    )


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
        "by": inspection.recorded_by_name,
        "late": _late(hand, inspection),
        "facts": _facts(hand, inspection),
        "correct_url": _correct_url(hand, progress, inspection),
    }


def _late(hand: RepairInHand, inspection: Inspection) -> str:
    if not inspection.is_late:
        return ""
    return f"Late entry: recorded {moment_text(inspection.recorded_at, hand.zone)}"


def _facts(hand: RepairInHand, inspection: Inspection) -> list[dict[str, str]]:
    """Who, when, with what, and what was computed."""
    facts = [
        ("Recorded by", inspection.recorded_by_name),
        ("Recorded at", moment_text(inspection.recorded_at, hand.zone)),
        ("Instruments", "; ".join(_instruments(hand, inspection))),
        ("Batches", "; ".join(_batches(inspection))),
        ("People", "; ".join(_people(inspection))),
        ("Remarks", inspection.remarks),
        *_results(hand, inspection),
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


def _people(inspection: Inspection) -> list[str]:
    return [
        f"{use.qualification.holder}, {use.qualification.trade}"
        f" ({', '.join(use.qualification.scopes)}; certificate {use.qualification.certificate})"
        for use in inspection.qualification_uses.all()
    ]


def _results(hand: RepairInHand, inspection: Inspection) -> list[tuple[str, str]]:
    results = results_of(
        inspection.step.checks,
        inspection.verdict,
        inspection.criteria,
        units=hand.repair.units,
        zone=hand.zone,
    )
    return [(label, text) for label, text in results if len(text) <= MOST_IN_A_LINE]


def _correct_url(hand: RepairInHand, progress: StepProgress, inspection: Inspection) -> str:
    if not hand.may(Act.CORRECT_INSPECTION) or inspection not in progress.standing:
        return ""
    return reverse(
        "correct_inspection", args=[hand.repair.pk, progress.step.position, inspection.pk]
    )
