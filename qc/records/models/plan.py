"""The inspection and test plan of a repair, frozen by revision."""

from django.db import models

from qc.accounts.models import User
from qc.engine.characteristic import Characteristic, Criteria
from qc.engine.characteristics import CHARACTERISTICS
from qc.ledger.sealed import Sealed
from qc.records.models.repair import Repair


class Plan(Sealed):
    """One revision of a repair's plan. A change is a new revision."""

    repair = models.ForeignKey(Repair, models.PROTECT, related_name="plans")
    revision = models.PositiveIntegerField()
    template = models.CharField(max_length=60)
    title = models.CharField(max_length=160)
    cautions = models.JSONField(default=list)
    reason = models.CharField(max_length=500, blank=True)
    created_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    created_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["repair", "revision"], name="plan_revision")]
        ordering = ["repair", "revision"]


class PlanStep(Sealed):
    """One step: what is checked, against what, how often, and who must be there.

    `criteria` and `sources` are the case format's; `points` maps a party to an intervention;
    `evidence` lists `{key, label, kind}`; `rows` is how many readings an entry page offers.
    """

    plan = models.ForeignKey(Plan, models.PROTECT, related_name="steps")
    position = models.PositiveIntegerField()
    key = models.SlugField(max_length=60)
    title = models.CharField(max_length=120)
    activity = models.CharField(max_length=500)
    characteristic = models.CharField(max_length=40)
    reference = models.CharField(max_length=300, blank=True)
    criteria = models.JSONField()
    sources = models.JSONField(default=dict)
    sampling = models.CharField(max_length=300)
    rows = models.PositiveIntegerField(default=1)
    instrument_kinds = models.JSONField(default=list)
    needs_batch = models.BooleanField(default=False)
    points = models.JSONField(default=dict)
    evidence = models.JSONField(default=list)
    cautions = models.JSONField(default=list)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["plan", "position"], name="step_position"),
            models.UniqueConstraint(fields=["plan", "key"], name="step_key"),
        ]
        ordering = ["plan", "position"]

    def __str__(self) -> str:
        return f"{self.position}. {self.title}"

    @property
    def checks(self) -> Characteristic:
        """The declared characteristic this step checks."""
        return CHARACTERISTICS[self.characteristic]

    def typed_criteria(self) -> Criteria:
        """The criteria as the engine takes them."""
        return self.checks.parse_criteria(self.criteria, self.sources)
