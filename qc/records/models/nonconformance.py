"""Nonconformance reports: what was found, and every step of what was done about it."""

from django.db import models

from qc.accounts.models import User
from qc.ledger.sealed import Sealed
from qc.records.models.inspection import Inspection
from qc.records.models.plan import PlanStep
from qc.records.models.repair import Repair


class Nonconformance(Sealed):
    """A report, as it was opened. Where it stands follows from its handlings.

    `origin` is what opened it: a verdict, work past a hold, a suspect instrument, a recalled batch
    or an observation. `inspection` is the one whose verdict did not conform.
    """

    repair = models.ForeignKey(Repair, models.PROTECT, related_name="nonconformances")
    number = models.PositiveIntegerField()
    origin = models.CharField(max_length=20)
    step = models.ForeignKey(PlanStep, models.PROTECT, null=True, related_name="nonconformances")
    inspection = models.ForeignKey(Inspection, models.PROTECT, null=True, related_name="+")
    statement = models.CharField(max_length=1000)
    party = models.CharField(max_length=10)
    opened_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    opened_by_name = models.CharField(max_length=200)
    opened_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["repair", "number"], name="report_number")]
        ordering = ["repair", "number"]


class Handling(Sealed):
    """One step in the life of a report: what was done, and the state it led to.

    A proposal names its `disposition`; an approval of repair or use-as-is carries the concession's
    scope and last day; a re-inspection names the `inspection` with the new readings.
    """

    report = models.ForeignKey(Nonconformance, models.PROTECT, related_name="handlings")
    position = models.PositiveIntegerField()
    deed = models.CharField(max_length=20)
    state = models.CharField(max_length=20)
    disposition = models.CharField(max_length=12, blank=True)
    text = models.CharField(max_length=1000, blank=True)
    concession_scope = models.CharField(max_length=500, blank=True)
    concession_until = models.DateField(null=True, blank=True)
    inspection = models.ForeignKey(Inspection, models.PROTECT, null=True, related_name="+")
    party = models.CharField(max_length=10)
    done_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    done_by_name = models.CharField(max_length=200)
    done_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["report", "position"], name="handling_position")
        ]
        ordering = ["report", "position"]
