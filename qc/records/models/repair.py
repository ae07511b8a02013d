"""The repair and the component it is made on."""

from django.db import models

from qc.accounts.models import Project, User
from qc.engine.lifecycle import Status
from qc.ledger.sealed import Sealed


class Asset(models.Model):
    """A component: a run of pipe, a tank shell, a beam. Its figures are quantities as text.

    `temperature` and `pressure` are those of operation.
    """

    project = models.ForeignKey(Project, models.PROTECT, related_name="assets")
    tag = models.CharField(max_length=60)
    description = models.CharField(max_length=200, blank=True)
    diameter = models.CharField(max_length=40, blank=True)
    wall = models.CharField(max_length=40, blank=True)
    material = models.CharField(max_length=80, blank=True)
    service = models.CharField(max_length=120, blank=True)
    line = models.CharField(max_length=60, blank=True)
    temperature = models.CharField(max_length=40, blank=True)
    pressure = models.CharField(max_length=40, blank=True)
    design_temperature = models.CharField(max_length=40, blank=True)
    design_pressure = models.CharField(max_length=40, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["project", "tag"], name="asset_tag")]

    def __str__(self) -> str:
        return self.tag


class Repair(models.Model):
    """One repair and where its record stands. All else but `next_inspection` never changes.

    `defect_position` says in words where the defect is, or from where `defect_distance` counts.
    """

    FOLLOWS_FROM_ACTS = ("status", "signing_round")
    """Columns that the ledger does not state, because they follow from its acts."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="repairs")
    number = models.CharField(max_length=20)
    title = models.CharField(max_length=160)
    asset = models.ForeignKey(Asset, models.PROTECT, related_name="repairs")
    defect = models.CharField(max_length=300, blank=True)
    defect_type = models.CharField(max_length=40, blank=True)
    defect_length = models.CharField(max_length=40, blank=True)
    defect_width = models.CharField(max_length=40, blank=True)
    defect_depth = models.CharField(max_length=40, blank=True)
    defect_distance = models.CharField(max_length=40, blank=True)
    defect_clock = models.CharField(max_length=5, blank=True)
    defect_position = models.CharField(max_length=120, blank=True)
    repair_class = models.CharField(max_length=40, blank=True)
    design_life = models.CharField(max_length=40, blank=True)
    next_inspection = models.DateField(null=True, blank=True)
    units = models.CharField(
        max_length=6, choices=[("metric", "Metric"), ("us", "US")], default="metric"
    )
    status = models.CharField(
        max_length=12,
        choices=[(str(s), s.replace("_", " ")) for s in Status],
        default=str(Status.PLANNED),
    )
    signing_round = models.PositiveIntegerField(default=1)
    created_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    created_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["project", "number"], name="repair_number"),
            models.CheckConstraint(
                condition=models.Q(status__in=[str(c) for c in Status]), name="repair_known_status"
            ),
        ]
        ordering = ["project", "number"]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"

    @property
    def stands_at(self) -> Status:
        """The status, as the engine knows it."""
        return Status(self.status)


class InspectionDue(Sealed):
    """The client set the day by which a repair is inspected next, or that there is no more."""

    repair = models.ForeignKey(Repair, models.PROTECT, related_name="inspections_due")
    due_on = models.DateField(null=True, blank=True)
    reason = models.CharField(max_length=500)
    party = models.CharField(max_length=10)
    set_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    set_by_name = models.CharField(max_length=200)
    set_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
