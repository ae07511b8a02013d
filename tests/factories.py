"""Repairs at any status, reached only through the acts themselves."""

import io
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import uuid4

from PIL import Image

from qc.engine.lifecycle import Status
from qc.engine.plan import Party
from qc.ledger.chain import Entry
from qc.records.models import Batch, Instrument, Repair
from qc.records.templates import StepTemplate
from qc.workflow import (
    InstrumentOutline,
    Manner,
    Observation,
    RepairOutline,
    add_batch,
    add_calibration,
    add_evidence,
    add_instrument,
    agree_plan,
    close_point,
    record_inspection,
    revise_plan,
    sign,
    start_repair,
)
from qc.workflow.document import record_digest
from tests.people import PASSWORD, People

NOON = datetime(2026, 5, 12, 11, 0, tzinfo=UTC)
"""The moment at which things happen in tests, noon at the site."""

BEFORE = NOON - timedelta(days=1)
"""The moment at which instruments and batches are entered in the register."""

AMBIENT, FILLER, THICKNESS, HARDNESS = 1, 2, 3, 4
"""Positions of the steps of the short plan."""

SHORT_PLAN = (
    StepTemplate(
        key="ambient",
        title="Ambient conditions",
        activity="Check air and steel",
        characteristic="ambient",
        sampling="before work",
        criteria={"margin_min": "3 delta_degC", "humidity_max": "85 %"},
        sources={"margin_min": "common practice", "humidity_max": "common practice"},
        instrument_kinds=("hygrometer",),
        points={"inspector": "surveillance", "client": "surveillance"},
    ),
    StepTemplate(
        key="mixing",
        title="Filler mixed",
        activity="Mix the filler",
        characteristic="mixing",
        sampling="every mix",
        criteria={"duration_min": "4 min", "duration_max": "6 min"},
        sources={"duration_min": "common practice", "duration_max": "common practice"},
        needs_batch=True,
        points={"contractor": "surveillance"},
    ),
    StepTemplate(
        key="thickness",
        title="Filler thickness",
        activity="Measure the filler",
        characteristic="thickness",
        sampling="eight stations",
        criteria={"rule": "minimum", "min": "5 mm"},
        sources={"rule": "common practice", "min": "common practice"},
        instrument_kinds=("depth_gauge",),
        points={"client": "hold"},
        evidence=({"key": "gauge", "label": "Photograph of the gauge", "kind": "photograph"},),
    ),
    StepTemplate(
        key="hardness",
        title="Hardness",
        activity="Read the hardness",
        characteristic="hardness",
        sampling="five readings",
        criteria={"scale": "Shore D", "min": "75", "readings_min": "5"},
        sources={name: "common practice" for name in ("scale", "min", "readings_min")},
        instrument_kinds=("durometer",),
        points={"client": "review"},
    ),
)

READINGS: dict[int, list[dict[str, Any]]] = {
    AMBIENT: [
        {
            "at": "2026-05-12T11:00+00:00",
            "air": "21 degC",
            "humidity": "60 %",
            "steel": ["19 degC"],
            "moisture_visible": False,
        }
    ],
    FILLER: [{"mix_start": "2026-05-12T11:00+00:00", "mix_end": "2026-05-12T11:05+00:00"}],
    THICKNESS: [{"values": ["5.6 mm", "6.1 mm", "5.2 mm"]}],
    HARDNESS: [{"values": ["78", "80", "79", "81", "76"]}],
}
"""Readings that conform, by step."""


def act_on(people: People, party: Party, at: datetime = NOON) -> dict[str, Any]:
    """Who acts, when, under a new act id."""
    return {"actor": people.of(party), "at": at, "act_id": uuid4()}


def planned_repair(
    people: People,
    steps: Sequence[StepTemplate] = SHORT_PLAN,
    number: str = "R-014",
    terms: dict[str, Any] | None = None,
    **more: Any,
) -> Repair:
    """A repair whose plan is drafted with `steps`; its points need no notice but by `terms`.

    `more` are facts of its outline, such as `asset_tag`.
    """
    about = {
        "title": "Wrap over sealed leak",
        "asset_tag": "6-CW-118",
        "defect": "Pinhole leak, 4 mm",
        "template": "composite_wrap",
        "diameter": "168.3 mm",
        "wall": "7.11 mm",
    }
    outline = RepairOutline(number=number, **(about | more))
    start = act_on(people, Party.CONTRACTOR)
    entry = start_repair(project_id=people.project.pk, outline=outline, **start)
    revise_plan(
        repair_id=entry.repair_id,
        steps=steps,
        reason="cut to the job",
        terms=terms or {},
        **act_on(people, Party.CONTRACTOR),
    )
    return Repair.objects.get(pk=entry.repair_id)


def repair_on_site(
    people: People, steps: Sequence[StepTemplate] = SHORT_PLAN, **more: Any
) -> Repair:
    """A repair whose plan is agreed."""
    repair = planned_repair(people, steps, **more)
    agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    repair.refresh_from_db()
    return repair


def instrument(
    people: People,
    kind: str,
    due_on: date = date(2026, 12, 31),
    identifier: str = "",
    **more: str,
) -> Instrument:
    """An instrument calibrated until `due_on`; `more` is its range, resolution, uncertainty."""
    named = identifier or f"{kind[:3].upper()}-{Instrument.objects.count() + 1}"
    entry = add_instrument(
        project_id=people.project.pk,
        outline=InstrumentOutline(identifier=named, kind=kind, **more),
        **act_on(people, Party.CONTRACTOR, BEFORE),
    )
    made = Instrument.objects.get(pk=entry.stated(Instrument)[0]["id"])
    calibrated_on = due_on - timedelta(days=365)
    later = datetime.combine(calibrated_on, time(18), UTC)
    add_calibration(
        project_id=people.project.pk,
        instrument_id=made.pk,
        certificate=f"C-{made.pk}",
        calibrated_on=calibrated_on,
        due_on=due_on,
        **act_on(people, Party.CONTRACTOR, max(BEFORE, later)),
    )
    return made


def batch(people: People, expiry: date | None = date(2026, 12, 31)) -> Batch:
    """A batch of filler that expires on `expiry`."""
    entry = add_batch(
        project_id=people.project.pk,
        product="Metal-filled filler",
        part="A and B",
        number=f"B-{Batch.objects.count() + 1}",
        expiry=expiry,
        **act_on(people, Party.CONTRACTOR, BEFORE),
    )
    return Batch.objects.get(pk=entry.stated(Batch)[0]["id"])


def record(
    people: People,
    repair: Repair,
    position: int,
    readings: list[dict[str, Any]] | None = None,
    at: datetime = NOON,
    **more: Any,
) -> Entry:
    """Record readings on a step, with what the step needs."""
    step = repair.plans.latest("revision").steps.get(position=position)
    if "instruments" not in more and step.instrument_kinds:
        more["instruments"] = [instrument(people, step.instrument_kinds[0]).pk]
    if "batches" not in more and step.needs_batch:
        more["batches"] = [batch(people).pk]
    observation = Observation(
        readings=READINGS[position] if readings is None else readings,
        observed_at=more.pop("observed_at", at),
        **more,
    )
    return record_inspection(
        repair_id=repair.pk,
        position=position,
        observation=observation,
        **act_on(people, Party.INSPECTOR, at),
    )


def photograph(shade: int = 90) -> bytes:
    """A small JPEG."""
    file = io.BytesIO()
    Image.new("RGB", (64, 48), (shade, 120, 140)).save(file, "JPEG")
    return file.getvalue()


def attach(people: People, repair: Repair, position: int, requirement: str) -> Entry:
    """Upload a photograph that the step asks for."""
    return add_evidence(
        repair_id=repair.pk,
        position=position,
        requirement=requirement,
        content=photograph(),
        filename="gauge.jpg",
        caption="Gauge on the filler",
        **act_on(people, Party.CONTRACTOR),
    )


def close(people: People, repair: Repair, position: int, manner: Manner, note: str = "") -> Entry:
    """The client closes their point at a step."""
    return close_point(
        repair_id=repair.pk,
        position=position,
        manner=manner,
        note=note,
        **act_on(people, Party.CLIENT),
    )


def finished_repair(people: People) -> Repair:
    """A repair on site with nothing open: ready for the first signature."""
    repair = repair_on_site(people)
    finish(people, repair)
    return repair


def finish(people: People, repair: Repair) -> None:
    """Everything that a repair of the short plan needs before the first signature."""
    for position in (AMBIENT, FILLER, THICKNESS):
        record(people, repair, position)
    attach(people, repair, THICKNESS, "gauge")
    close(people, repair, THICKNESS, Manner.RELEASED)
    record(people, repair, HARDNESS)
    close(people, repair, HARDNESS, Manner.REVIEWED)


def put_signature(people: People, repair: Repair, party: Party, password: str = PASSWORD) -> Entry:
    """The person of `party` signs what the record holds."""
    return sign(
        repair_id=repair.pk,
        party=party,
        password=password,
        seen_digest=record_digest(repair),
        **act_on(people, party),
    )


SIGNED_BY = {
    Status.INSPECTED: 1,
    Status.WITH_CLIENT: 2,
    Status.APPROVED: 3,
}
"""How many of the parties have signed at a status."""


def repair_at(people: People, status: Status) -> Repair:
    """A repair at any status before its release, reached through the acts."""
    if status is Status.PLANNED:
        return planned_repair(people)
    if status is Status.ON_SITE:
        return repair_on_site(people)
    repair = finished_repair(people)
    for party in tuple(Party)[: SIGNED_BY[status]]:
        put_signature(people, repair, party)
    repair.refresh_from_db()
    return repair
