"""What was observed: inspections with their readings and verdict, written once."""

from datetime import timedelta

from django.db import models

from qc.accounts.models import User
from qc.engine.rules import Outcome
from qc.ledger.sealed import Sealed
from qc.records.models.plan import PlanStep
from qc.records.models.register import Batch, Instrument, Qualification
from qc.records.models.repair import Repair

LATE_AFTER = timedelta(minutes=60)
"""An entry recorded later than this after it was observed is shown as late."""


class Inspection(Sealed):
    """One visit to a step: its readings, judged together with the series they belong to.

    Readings of one `series` are judged as one; after a verdict that does not conform, the next
    inspection opens a new series and `rework` says what was done. A correction names the
    inspection it `corrects` and the `reason`; both stay.
    """

    repair = models.ForeignKey(Repair, models.PROTECT, related_name="inspections")
    step = models.ForeignKey(PlanStep, models.PROTECT, related_name="inspections")
    series = models.PositiveIntegerField(default=1)
    corrects = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="corrected_by"
    )
    reason = models.CharField(max_length=500, blank=True)
    rework = models.CharField(max_length=500, blank=True)
    remarks = models.CharField(max_length=1000, blank=True)
    observed_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    recorded_by_name = models.CharField(max_length=200)
    schema_version = models.PositiveIntegerField()
    criteria = models.JSONField()
    sources = models.JSONField()
    verdict = models.JSONField()
    outcome = models.CharField(max_length=20)
    engine = models.CharField(max_length=40)
    act_id = models.UUIDField(unique=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(outcome__in=[str(c) for c in Outcome]),
                name="inspection_known_outcome",
            ),
            models.CheckConstraint(
                condition=models.Q(corrects=None) | ~models.Q(reason=""),
                name="correction_has_reason",
            ),
        ]
        ordering = ["id"]
        indexes = [models.Index(fields=["repair", "step"], name="inspection_by_step")]

    @property
    def came_to(self) -> Outcome:
        """The outcome, as the engine knows it."""
        return Outcome(self.outcome)

    @property
    def is_late(self) -> bool:
        """True where the entry was recorded well after it was observed."""
        return self.recorded_at - self.observed_at > LATE_AFTER


class Reading(Sealed):
    """One reading, in the case format, with the text as it was typed."""

    inspection = models.ForeignKey(Inspection, models.PROTECT, related_name="readings")
    position = models.PositiveIntegerField()
    values = models.JSONField()
    as_typed = models.JSONField(default=dict)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["inspection", "position"], name="reading_position")
        ]
        ordering = ["inspection", "position"]


class InstrumentUse(Sealed):
    """An instrument with which an inspection was made."""

    inspection = models.ForeignKey(Inspection, models.PROTECT, related_name="instrument_uses")
    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="uses")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["inspection", "instrument"], name="instrument_use")
        ]


class BatchUse(Sealed):
    """A batch that went into the work an inspection records."""

    inspection = models.ForeignKey(Inspection, models.PROTECT, related_name="batch_uses")
    batch = models.ForeignKey(Batch, models.PROTECT, related_name="uses")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["inspection", "batch"], name="batch_use")]


class QualificationUse(Sealed):
    """A qualified person who did the work that an inspection records."""

    inspection = models.ForeignKey(Inspection, models.PROTECT, related_name="qualification_uses")
    qualification = models.ForeignKey(Qualification, models.PROTECT, related_name="uses")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["inspection", "qualification"], name="qualification_use"
            )
        ]
