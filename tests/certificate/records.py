"""Records made by hand in the shape of the workflow's document, judged by the engine itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from qc.engine import ENGINE
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.plan import terms_of
from qc.ledger.canonical import digest
from qc.records.templates import PlanTemplate, StepTemplate, plan_templates

INSPECTOR, CONTRACTOR, CLIENT = "Ines Dunmore", "Tomas Vale", "Ada Kestle"
PARTIES = {
    "inspector": "Harrow Point Inspection",
    "contractor": "Fenwick Line Repair",
    "client": "Saltmarsh Quay Terminal",
}
ISSUED_AT = "2026-05-14T15:42:00.000000Z"


def utc(text: str) -> str:
    """ "12 09:05" of May 2026 in UTC, as the ledger writes moments."""
    day, clock = text.split()
    seconds = clock if clock.count(":") == 2 else f"{clock}:00"
    return f"2026-05-{day}T{seconds}.000000Z"


class RecordWriter:
    """Writes a record step by step, as the acts of the workflow would."""

    def __init__(self, template: str, units: str = "metric", zone: str = "Europe/London") -> None:
        self._next_id = 0
        plan = plan_templates()[template]
        self.record: dict[str, Any] = {
            "format": "quality-record/1",
            "project": {
                "code": "sq-26",
                "title": "Cooling water line repairs",
                "site": "Saltmarsh Quay, jetty 2",
                "time_zone": zone,
                "parties": dict(PARTIES),
            },
            "repair": _repair(units),
            "plan": _plan(plan),
            "steps": [_step(n, step) for n, step in enumerate(plan.steps, start=1)],
            "returns": [],
        }

    def keep(self, *keys: str) -> None:
        """Leave only these steps in the plan."""
        self.record["steps"] = [step for step in self.record["steps"] if step["key"] in keys]

    def step(self, key: str) -> dict[str, Any]:
        """The step with this key."""
        found: dict[str, Any] = next(s for s in self.record["steps"] if s["key"] == key)
        return found

    def inspect(
        self, key: str, at: str, readings: Sequence[Mapping[str, Any]], **given: Any
    ) -> dict[str, Any]:
        """Record and judge readings on a step; `given` replaces what an inspection holds."""
        step = self.step(key)
        self._next_id += 1
        inspection = {
            "id": self._next_id,
            "series": step["series"],
            "corrects": None,
            "is_corrected": False,
            "reason": "",
            "rework": "",
            "remarks": "",
            "observed_at": utc(at),
            "recorded_at": utc(at),
            "is_late": False,
            "recorded_by": INSPECTOR,
            "schema_version": 1,
            "readings": [dict(reading) for reading in readings],
            "as_typed": [dict(reading) for reading in readings],
            "instruments": [],
            "batches": [],
        } | given
        self._mark_corrected(step, inspection)
        step["inspections"].append(inspection)
        inspection["verdict"] = _judged(step, inspection)
        step["series"] = inspection["series"]
        step["outcome"] = inspection["verdict"]["outcome"]
        return inspection

    def close(self, key: str, party: str, manner: str, at: str, note: str = "") -> None:
        """Close the point of a party at a step."""
        step = self.step(key)
        by = {"contractor": CONTRACTOR, "client": CLIENT, "inspector": INSPECTOR}[party]
        step["closures"].append(
            {
                "party": party,
                "intervention": step["points"][party],
                "manner": manner,
                "note": note,
                "by": by,
                "at": utc(at),
                "stands": True,
            }
        )

    def notify(
        self, key: str, party: str, scheduled: str, at: str, accepted: str = "", **more: Any
    ) -> None:
        """Give notice to a party; `accepted` is when it was accepted."""
        self.step(key)["notices"].append(
            {
                "party": party,
                "scheduled_at": utc(scheduled),
                "note": "",
                "by": CONTRACTOR,
                "at": utc(at),
                "accepted_by": CLIENT if accepted else "",
                "accepted_at": utc(accepted) if accepted else "",
                "accepted_note": "",
                "stands": True,
                **more,
            }
        )

    def attach(self, key: str, requirement: str, filename: str, caption: str, at: str) -> None:
        """Add a piece of evidence to a step."""
        self.step(key)["evidence"].append(
            {
                "requirement": requirement,
                "caption": caption,
                "filename": filename,
                "content_type": "image/jpeg",
                "size": 1_482_113,
                "sha256": digest([key, requirement, filename]),
                "by": CONTRACTOR,
                "party": "contractor",
                "at": utc(at),
            }
        )

    def snapshot(self, number: str = "QR-sq-26-R-014") -> dict[str, Any]:
        """The signed record, as a certificate is made from it."""
        return snapshot_of(self.record, number)

    def _mark_corrected(self, step: dict[str, Any], inspection: dict[str, Any]) -> None:
        for earlier in step["inspections"]:
            if earlier["id"] == inspection["corrects"]:
                earlier["is_corrected"] = True


def snapshot_of(record: dict[str, Any], number: str = "QR-sq-26-R-014") -> dict[str, Any]:
    """A snapshot of `record`, signed by the three parties."""
    signed = [
        ("inspector", INSPECTOR, "Inspected and recorded as stated", "14 14:02"),
        ("contractor", CONTRACTOR, "Work done as recorded", "14 14:40"),
        ("client", CLIENT, "Record approved", "14 15:31"),
    ]
    return {
        "record": record,
        "record_digest": digest(record),
        "certificate": {"number": number, "revision": 1, "issued_at": ISSUED_AT},
        "signatures": [
            {
                "party": party,
                "printed_name": name,
                "organisation": PARTIES[party],
                "meaning": meaning,
                "signed_at": utc(at),
                "record_digest": digest(record),
            }
            for party, name, meaning, at in signed
        ],
        "ledger": {"length": 57, "head": digest("the last entry")},
        "engine": ENGINE,
    }


def instrument(identifier: str, kind: str, due_on: str = "2026-11-30") -> dict[str, str]:
    """An instrument in calibration."""
    return {
        "identifier": identifier,
        "kind": kind,
        "description": "",
        "certificate": f"C-{identifier}-25",
        "due_on": due_on,
    }


def batch(product: str, part: str, number: str, expiry: str = "2027-01-31") -> dict[str, str]:
    """A batch within its shelf life."""
    return {"product": product, "part": part, "number": number, "expiry": expiry}


def _judged(step: Mapping[str, Any], inspection: Mapping[str, Any]) -> dict[str, Any]:
    standing = [
        other
        for other in step["inspections"]
        if other["series"] == inspection["series"]
        and not other["is_corrected"]
        and other["id"] != inspection["id"]
    ]
    standing.sort(key=lambda other: (other["observed_at"], other["id"]))
    readings = [r for other in [*standing, inspection] for r in other["readings"]]
    characteristic = CHARACTERISTICS[step["characteristic"]]
    criteria = characteristic.parse_criteria(step["criteria"], step["sources"])
    parsed = [characteristic.parse_reading(reading) for reading in readings]
    return characteristic.judge(criteria, parsed).as_case()


def _repair(units: str) -> dict[str, Any]:
    us = units == "us"
    return {
        "number": "R-014",
        "title": "Wrap over a sealed leak",
        "defect": "Pinhole leak at 6 o'clock, 4 mm, in a patch of external corrosion",
        "units": units,
        "component": {
            "tag": "6-CW-118",
            "description": "Cooling water supply, pipe rack west",
            "diameter": "6.625 in" if us else "168.3 mm",
            "wall": "0.280 in" if us else "7.11 mm",
            "material": "Carbon steel, grade B",
            "service": "Cooling water",
            "line": "6-CW-1180-B1",
            "temperature": "64 degF" if us else "18 degC",
            "pressure": "58 psi" if us else "4 bar",
            "design_temperature": "140 degF" if us else "60 degC",
            "design_pressure": "145 psi" if us else "10 bar",
        },
        "defect_details": {
            "type": "through_wall",
            "length": "0.16 in" if us else "4 mm",
            "width": "0.16 in" if us else "4 mm",
            "depth": "",
            "distance": "4 ft" if us else "1.2 m",
            "clock": "6",
            "position": "from flange F3",
        },
        "design": {
            "repair_class": "2",
            "design_life": "20 years",
            "next_inspection": "2028-05-31",
        },
    }


def _plan(plan: PlanTemplate) -> dict[str, Any]:
    return {
        "title": plan.title,
        "template": plan.key,
        "revision": 2,
        "cautions": list(plan.cautions),
        "terms": {str(each): terms.as_case() for each, terms in terms_of(plan.terms).items()},
        "drafted_by": CONTRACTOR,
        "drafted_at": utc("08 09:12"),
    }


def _step(position: int, template: StepTemplate) -> dict[str, Any]:
    kept = ("key", "title", "activity", "characteristic", "reference", "sampling")
    declared = asdict(template)
    return {
        "position": position,
        **{name: declared[name] for name in kept},
        "criteria": dict(template.criteria),
        "sources": dict(template.sources),
        "points": dict(template.points),
        "cautions": list(template.cautions),
        "outcome": "",
        "series": 1,
        "inspections": [],
        "notices": [],
        "closures": [],
        "evidence": [],
    }
