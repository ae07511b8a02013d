"""The entries of a step: each visit to it, by whom, when and with what."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from qc.certificate.site import Site, day


@dataclass(frozen=True)
class Entry:
    """One inspection as it stands in the log of its step.

    `reason` is why a later entry corrects it, or why it corrects an earlier one.
    """

    id: int
    number: int
    observed: str
    recorded: str
    is_late: bool
    is_corrected: bool
    by: str
    remarks: str
    reason: str
    replaces: int | None
    outcome: str


def entries_of(step: Mapping[str, Any], site: Site) -> dict[int, Entry]:
    """The entries of a step by their id, numbered in the order in which they were recorded."""
    numbers = {one["id"]: number for number, one in enumerate(step["inspections"], start=1)}
    return {one["id"]: _entry(one, numbers, site) for one in step["inspections"]}


def _entry(inspection: Mapping[str, Any], numbers: Mapping[int, int], site: Site) -> Entry:
    return Entry(
        id=inspection["id"],
        number=numbers[inspection["id"]],
        observed=site.moment(inspection["observed_at"]),
        recorded=site.moment(inspection["recorded_at"]),
        is_late=inspection["is_late"],
        is_corrected=inspection["is_corrected"],
        by=inspection["recorded_by"],
        remarks=inspection["remarks"],
        reason=inspection["reason"],
        replaces=numbers.get(inspection["corrects"]),
        outcome=inspection["verdict"]["outcome"],
    )


def means_of(inspections: Sequence[Mapping[str, Any]], entries: Mapping[int, Entry]) -> list[str]:
    """With what some inspections were made, each once, with the entries where not in all."""
    used: dict[str, list[str]] = {}
    for one in inspections:
        for text in _means(one):
            used.setdefault(text, []).append(str(entries[one["id"]].number))
    return [
        text if len(numbers) == len(inspections) else f"{text}, in entry {', '.join(numbers)}"
        for text, numbers in used.items()
    ]


def _means(inspection: Mapping[str, Any]) -> list[str]:
    instruments = [instrument_text(one) for one in inspection["instruments"]]
    return [*instruments, *(batch_text(one) for one in inspection["batches"])]


def instrument_text(instrument: Mapping[str, Any]) -> str:
    """An instrument with its calibration: "hygrometer H-07 (certificate C-1, due 30 Nov 2026)"."""
    kind = instrument["kind"].replace("_", " ")
    named = " ".join(part for part in (kind, instrument["identifier"]) if part)
    if not instrument["certificate"]:
        return f"{named} (no calibration that covers the day)"
    due = day(instrument["due_on"])
    return f"{named} (calibration {instrument['certificate']}, due {due})"


def batch_text(batch: Mapping[str, Any]) -> str:
    """A batch with its shelf life: "Filler, part A, batch A-311 (use by 31 Jan 2027)"."""
    part = f", part {batch['part']}" if batch["part"] else ""
    expiry = f"use by {day(batch['expiry'])}" if batch["expiry"] else "no expiry stated"
    return f"{batch['product']}{part}, batch {batch['number']} ({expiry})"
