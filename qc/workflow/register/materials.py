"""Materials: data sheets, batches, and the recall of a batch."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime
from typing import Any
from uuid import UUID

from qc.accounts.models import User
from qc.engine.characteristic import Characteristic
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.fields import InvalidValue, parse_fields
from qc.engine.lifecycle import RegisterAct
from qc.ledger.chain import Entry
from qc.records.models import Batch, BatchRecall, DataSheet
from qc.workflow.deed import act
from qc.workflow.faults import fault_of
from qc.workflow.register.consequences import doubt_readings
from qc.workflow.register.files import Upload, keep_file
from qc.workflow.register_deed import begin_entry, finish_entry, refusal

Figures = Mapping[str, Mapping[str, Any]]
"""Criteria in the case format, by characteristic."""


@act
def add_data_sheet(
    *,
    project_id: int,
    product: str,
    revision: str,
    values: Figures,
    actor: User,
    at: datetime,
    act_id: UUID,
    file: Upload | None = None,
) -> Entry:
    """Enter a revision of a product's data sheet; plans are offered its figures as limits."""
    deed = begin_entry(
        RegisterAct.ADD_DATA_SHEET, project_id=project_id, actor=actor, at=at, act_id=act_id
    )
    product, revision = product.strip(), revision.strip()
    if not product or not revision:
        raise refusal("A data sheet needs its product and its revision.")
    known = DataSheet.objects.filter(project=deed.project, product=product, revision=revision)
    if known.exists():
        raise refusal(f"Revision {revision} of {product} is in the register already.", "revision")
    made = DataSheet.objects.create(
        project=deed.project,
        product=product,
        revision=revision,
        values=_checked(values),
        recorded_by=actor,
        recorded_by_name=actor.printed_name,
        recorded_at=at,
    )
    kept = keep_file(deed, file, made)
    return finish_entry(deed, made, kept)


@act
def add_batch(
    *,
    project_id: int,
    product: str,
    part: str,
    number: str,
    expiry: date | None,
    actor: User,
    at: datetime,
    act_id: UUID,
    storage: str = "",
) -> Entry:
    """Register a batch of material; it may be used through the day it expires."""
    deed = begin_entry(
        RegisterAct.ADD_BATCH, project_id=project_id, actor=actor, at=at, act_id=act_id
    )
    if Batch.objects.filter(project=deed.project, product=product, number=number).exists():
        raise refusal(f"Batch {number} of {product} is in the register already.")
    made = Batch.objects.create(
        project=deed.project,
        product=product,
        part=part,
        number=number,
        expiry=expiry,
        storage=storage.strip(),
    )
    return finish_entry(deed, made)


@act
def recall_batch(
    *, project_id: int, batch_id: int, reason: str, actor: User, at: datetime, act_id: UUID
) -> Entry:
    """Record that a batch is recalled: every repair it went into gets a report."""
    deed = begin_entry(
        RegisterAct.RECALL_BATCH, project_id=project_id, actor=actor, at=at, act_id=act_id
    )
    batch = Batch.objects.filter(project=deed.project, pk=batch_id).first()
    if batch is None:
        raise refusal("The batch is not of this project.")
    if hasattr(batch, "recall"):
        raise refusal(f"Batch {batch.number} is recalled already.")
    if not reason.strip():
        raise refusal("Say why the batch is recalled.", "reason")
    made = BatchRecall.objects.create(
        batch=batch,
        reason=reason.strip(),
        recorded_by=actor,
        recorded_by_name=actor.printed_name,
        recorded_at=at,
    )
    doubt_readings(deed, fault_of(made))
    return finish_entry(deed, made)


def _checked(values: Figures) -> dict[str, dict[str, Any]]:
    """The figures, each taken by its own field; Refused where one is not, or there is none."""
    kept = {key: dict(criteria) for key, criteria in values.items() if criteria}
    if not kept:
        raise refusal("Enter at least one figure of the data sheet.")
    for key, criteria in kept.items():
        if key not in CHARACTERISTICS:
            raise refusal(f"{key!r} is no characteristic that is known here.")
        try:
            _check(CHARACTERISTICS[key], criteria)
        except InvalidValue as problem:
            raise refusal(f"{problem}.", problem.path) from None
    return kept


def _check(characteristic: Characteristic, criteria: Mapping[str, Any]) -> None:
    """InvalidValue where a figure is not what its field takes, or two are out of order.

    A sheet states some of the limits only, so that none is required.
    """
    fields = [replace(field, required=False) for field in characteristic.criteria]
    parsed = parse_fields(fields, criteria, characteristic.key)
    for low, high in characteristic.ordered:
        least, most = parsed.get(low), parsed.get(high)
        if least is not None and most is not None and least > most:
            raise InvalidValue(f"{characteristic.key}.{low}", f"{least} is above {high}, {most}")
