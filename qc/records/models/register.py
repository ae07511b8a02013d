"""What a project brings along: instruments with their calibrations, and batches of material."""

from datetime import date

from django.db import models

from qc.accounts.models import Project
from qc.ledger.sealed import Sealed


class Instrument(Sealed):
    """A measuring instrument or reference, known by its identifier in the project."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="instruments")
    identifier = models.CharField(max_length=40)
    kind = models.CharField(max_length=40)
    description = models.CharField(max_length=160, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["project", "identifier"], name="instrument_identifier")
        ]
        ordering = ["identifier"]

    def __str__(self) -> str:
        return f"{self.identifier} ({self.kind.replace('_', ' ')})"

    def calibration_on(self, day: date) -> "Calibration | None":
        """The calibration that covers `day`, the latest to fall due; its due day still counts."""
        covering = [c for c in self.calibrations.all() if c.calibrated_on <= day <= c.due_on]
        return max(covering, key=lambda c: c.due_on, default=None)

    def last_due(self) -> date | None:
        """The latest due day on record."""
        return max((c.due_on for c in self.calibrations.all()), default=None)


class Calibration(Sealed):
    """One calibration of an instrument: certificate, day, and the day it falls due."""

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="calibrations")
    certificate = models.CharField(max_length=60)
    calibrated_on = models.DateField()
    due_on = models.DateField()
    recorded_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(due_on__gte=models.F("calibrated_on")),
                name="calibration_due_after",
            )
        ]
        ordering = ["-due_on"]


class Batch(Sealed):
    """A batch of material, one row for each part of a two-part product."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="batches")
    product = models.CharField(max_length=120)
    part = models.CharField(max_length=20, blank=True)
    number = models.CharField(max_length=60)
    expiry = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["project", "product", "number"], name="batch_number")
        ]
        ordering = ["product", "number"]

    def __str__(self) -> str:
        return f"{self.number} · {self.product}{f', part {self.part}' if self.part else ''}"
