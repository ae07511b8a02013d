"""The entries of a step: each visit to it, by whom, when and with what."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from qc.certificate.site import Site, day, quantity


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
    return [
        *(instrument_text(one) for one in inspection["instruments"]),
        *(batch_text(one) for one in inspection["batches"]),
        *(person_text(one) for one in inspection.get("people", ())),
    ]


def instrument_text(instrument: Mapping[str, Any]) -> str:
    """An instrument with its calibration: "hygrometer H-07 (certificate C-1, due 30 Nov 2026)"."""
    kind = instrument["kind"].replace("_", " ")
    named = " ".join(part for part in (kind, instrument["identifier"]) if part)
    if not instrument["certificate"]:
        return f"{named} (no calibration that covers the day)"
    due = day(instrument["due_on"])
    told = [f"calibration {instrument['certificate']}, due {due}", *_figures(instrument)]
    return f"{named} ({'; '.join(told)})"


def _figures(instrument: Mapping[str, Any]) -> Iterator[str]:
    """Range, uncertainty and checks of an instrument, those that the record states."""
    low, high = instrument.get("range_low", ""), instrument.get("range_high", "")
    if low and high:
        yield f"range {quantity(low)} to {quantity(high)}"
    if instrument.get("uncertainty"):
        yield f"U = {quantity(instrument['uncertainty'])}, k = 2"
    for check in instrument.get("checks", ()):
        word = "passed" if check["passed"] else "FAILED"
        nominal, found = quantity(check["nominal"]), quantity(check["found"])
        yield f"check {check['occasion']} use {word}: {found} on {nominal}"


def batch_text(batch: Mapping[str, Any]) -> str:
    """A batch with its shelf life: "Filler, part A, batch A-311 (use by 31 Jan 2027)"."""
    part = f", part {batch['part']}" if batch["part"] else ""
    expiry = f"use by {day(batch['expiry'])}" if batch["expiry"] else "no expiry stated"
    storage = f"; stored: {batch['storage']}" if batch.get("storage") else ""
    return f"{batch['product']}{part}, batch {batch['number']} ({expiry}{storage})"


def person_text(person: Mapping[str, Any]) -> str:
    """A qualified person: "applicator Tomas Reed (composite wrap; certificate Q-7, until ...)"."""
    until = day(person["valid_until"])
    scopes = ", ".join(person["scopes"])
    certificate = f"certificate {person['certificate']}, valid until {until}"
    return f"{person['trade']} {person['holder']} ({scopes}; {certificate})"
