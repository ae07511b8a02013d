"""Entering instruments, calibrations and batches in a project's register."""

from datetime import date, datetime

from django.db import transaction

from qc.accounts.access import membership_of
from qc.accounts.models import User
from qc.engine.lifecycle import Refused, repair_blocker
from qc.engine.plan import Party
from qc.records.models import Batch, Calibration, Instrument

KEEPERS = (Party.CONTRACTOR, Party.INSPECTOR)
"""The parties that enter things in the register."""


@transaction.atomic
def add_instrument(
    *, project_id: int, identifier: str, kind: str, description: str, actor: User
) -> Instrument:
    """Register an instrument. Contractor and inspector keep the register."""
    _may_keep(project_id, actor)
    if Instrument.objects.filter(project_id=project_id, identifier=identifier).exists():
        raise _refusal(f"The identifier {identifier} is taken in this project.")
    return Instrument.objects.create(
        project_id=project_id, identifier=identifier, kind=kind, description=description
    )


@transaction.atomic
def add_calibration(
    *,
    project_id: int,
    instrument_id: int,
    certificate: str,
    calibrated_on: date,
    due_on: date,
    actor: User,
    at: datetime,
) -> Calibration:
    """Record a calibration of an instrument; it covers its first day and its due day."""
    _may_keep(project_id, actor)
    instrument = Instrument.objects.filter(project_id=project_id, pk=instrument_id).first()
    if instrument is None:
        raise _refusal("The instrument is not of this project.")
    if due_on < calibrated_on:
        raise _refusal(f"The calibration falls due on {due_on}, before it was made.")
    if calibrated_on > at.date():
        raise _refusal(f"The calibration day {calibrated_on} lies ahead.")
    if instrument.calibrations.filter(certificate=certificate, due_on=due_on).exists():
        raise _refusal(f"Certificate {certificate}, due {due_on}, is in the register already.")
    return Calibration.objects.create(
        instrument=instrument,
        certificate=certificate,
        calibrated_on=calibrated_on,
        due_on=due_on,
        recorded_at=at,
    )


@transaction.atomic
def add_batch(
    *, project_id: int, product: str, part: str, number: str, expiry: date | None, actor: User
) -> Batch:
    """Register a batch of material; it may be used through the day it expires."""
    _may_keep(project_id, actor)
    if Batch.objects.filter(project_id=project_id, product=product, number=number).exists():
        raise _refusal(f"Batch {number} of {product} is in the register already.")
    return Batch.objects.create(
        project_id=project_id, product=product, part=part, number=number, expiry=expiry
    )


def _may_keep(project_id: int, actor: User) -> None:
    party = membership_of(actor, project_id).acts_for
    if party not in KEEPERS:
        raise _refusal(f"The {party} does not keep the register; contractor and inspector do.")


def _refusal(statement: str) -> Refused:
    return Refused(repair_blocker("register", statement, Party.CONTRACTOR))
