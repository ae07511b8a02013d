"""What a project brings along: instruments with their calibrations, and batches of material."""

from datetime import date

from django.db import models

from qc.accounts.models import Project, User
from qc.ledger.sealed import Sealed


class Instrument(Sealed):
    """A measuring instrument or reference, known by its identifier in the project.

    `range_low`, `range_high`, `resolution` and the expanded `uncertainty` are quantities as text.
    """

    project = models.ForeignKey(Project, models.PROTECT, related_name="instruments")
    identifier = models.CharField(max_length=40)
    kind = models.CharField(max_length=40)
    description = models.CharField(max_length=160, blank=True)
    range_low = models.CharField(max_length=40, blank=True)
    range_high = models.CharField(max_length=40, blank=True)
    resolution = models.CharField(max_length=40, blank=True)
    uncertainty = models.CharField(max_length=40, blank=True)

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


class CalibrationWithdrawal(Sealed):
    """A calibration turned out to be bad: the instrument can't be trusted since `bad_since`."""

    calibration = models.OneToOneField(Calibration, models.PROTECT, related_name="withdrawal")
    bad_since = models.DateTimeField()
    reason = models.CharField(max_length=500)
    recorded_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    recorded_by_name = models.CharField(max_length=200)
    recorded_at = models.DateTimeField()


class InstrumentCheck(Sealed):
    """A check of an instrument against a reference, before or after use.

    `nominal`, `found` and `tolerance` are quantities as text; `passed` is the engine's judgement.
    """

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="checks")
    occasion = models.CharField(max_length=10)
    reference = models.CharField(max_length=120)
    nominal = models.CharField(max_length=40)
    found = models.CharField(max_length=40)
    tolerance = models.CharField(max_length=40)
    passed = models.BooleanField()
    checked_at = models.DateTimeField()
    recorded_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    recorded_by_name = models.CharField(max_length=200)
    recorded_at = models.DateTimeField()

    class Meta:
        ordering = ["checked_at", "id"]


class DataSheet(Sealed):
    """A revision of a product's data sheet. `values` are criteria by characteristic."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="data_sheets")
    product = models.CharField(max_length=120)
    revision = models.CharField(max_length=40)
    values = models.JSONField()
    recorded_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    recorded_by_name = models.CharField(max_length=200)
    recorded_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["project", "product", "revision"], name="data_sheet_revision"
            )
        ]
        ordering = ["product", "id"]


class Batch(Sealed):
    """A batch of material, one row for each part of a two-part product."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="batches")
    product = models.CharField(max_length=120)
    part = models.CharField(max_length=20, blank=True)
    number = models.CharField(max_length=60)
    expiry = models.DateField(null=True, blank=True)
    storage = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["project", "product", "number"], name="batch_number")
        ]
        ordering = ["product", "number"]

    def __str__(self) -> str:
        return f"{self.number} · {self.product}{f', part {self.part}' if self.part else ''}"


class BatchRecall(Sealed):
    """A batch was recalled: what it went into must be looked at again."""

    batch = models.OneToOneField(Batch, models.PROTECT, related_name="recall")
    reason = models.CharField(max_length=500)
    recorded_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    recorded_by_name = models.CharField(max_length=200)
    recorded_at = models.DateTimeField()


class Qualification(Sealed):
    """A certificate of what a person may do, in a trade: "inspector" or "applicator".

    `scopes` are what it covers, in the plan's words; it holds from the first to the last day.
    """

    project = models.ForeignKey(Project, models.PROTECT, related_name="qualifications")
    holder = models.CharField(max_length=200)
    user = models.ForeignKey(User, models.PROTECT, null=True, related_name="qualifications")
    trade = models.CharField(max_length=20)
    scopes = models.JSONField()
    certificate = models.CharField(max_length=60)
    issued_by = models.CharField(max_length=120, blank=True)
    valid_from = models.DateField()
    valid_until = models.DateField()
    recorded_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(valid_until__gte=models.F("valid_from")),
                name="qualification_ends_after",
            )
        ]
        ordering = ["holder", "valid_until"]
