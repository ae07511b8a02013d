"""The inspection and test plan of a repair, frozen by revision."""

from django.db import models

from qc.accounts.models import Project, User
from qc.engine.characteristic import Characteristic, Criteria
from qc.engine.characteristics import CHARACTERISTICS
from qc.engine.plan import Window
from qc.ledger.sealed import Sealed
from qc.records.models.repair import Repair


class Plan(Sealed):
    """One revision of a repair's plan. A change is a new revision.

    Before the client has agreed any, the latest revision is the plan; from then on the latest one
    agreed. `applies_from` is the first position whose steps the revision changes for work that has
    begun. `terms` maps an intervention to the project's own code and wording, and to what notice
    its points want (`qc.engine.plan.points`).
    """

    repair = models.ForeignKey(Repair, models.PROTECT, related_name="plans")
    revision = models.PositiveIntegerField()
    template = models.CharField(max_length=60)
    title = models.CharField(max_length=160)
    cautions = models.JSONField(default=list)
    terms = models.JSONField(default=dict)
    applies_from = models.PositiveIntegerField(default=1)
    reason = models.CharField(max_length=500, blank=True)
    created_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    created_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["repair", "revision"], name="plan_revision")]
        ordering = ["repair", "revision"]


class PlanAgreement(Sealed):
    """The client agreed a revision of a plan."""

    plan = models.OneToOneField(Plan, models.PROTECT, related_name="agreement")
    agreed_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    agreed_by_name = models.CharField(max_length=200)
    agreed_at = models.DateTimeField()


class PlanComment(Sealed):
    """A remark on a revision of a plan, or on one of its steps."""

    plan = models.ForeignKey(Plan, models.PROTECT, related_name="comments")
    step_key = models.SlugField(max_length=60, blank=True)
    text = models.CharField(max_length=1000)
    party = models.CharField(max_length=10)
    written_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    written_by_name = models.CharField(max_length=200)
    written_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class PlanStep(Sealed):
    """One step: what is checked, against what, how often, and who must be there.

    `criteria` and `sources` are the case format's; `points` maps a party to an intervention;
    `evidence` lists `{key, label, kind}`; `rows` is how many readings an entry page offers.
    `prerequisites` are keys of steps that come before; `windows` lists
    `{after, least, most, source}`, times from another step; `qualifications` maps a trade
    ("inspector", "applicator") to the scopes that its people must hold. `since` is the revision
    that gave the step its content: inspections under an older one no longer count for it.
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
    prerequisites = models.JSONField(default=list)
    windows = models.JSONField(default=list)
    qualifications = models.JSONField(default=dict)
    since = models.PositiveIntegerField(default=1)

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

    def typed_windows(self) -> tuple[Window, ...]:
        """The windows as the engine takes them."""
        return tuple(Window.parse(raw, f"windows[{n}]") for n, raw in enumerate(self.windows))


class PlanMarkup(models.Model):
    """The contractor's marked-up copy of a plan: a working paper, and no part of the record.

    `base` is the revision it was taken from, `edition` counts its changes, so that two people
    can't overwrite each other's. Putting it forward writes a revision and throws it away.
    """

    repair = models.OneToOneField(Repair, models.PROTECT, related_name="markup")
    base = models.ForeignKey(Plan, models.PROTECT, related_name="+")
    edition = models.PositiveIntegerField(default=1)
    steps = models.JSONField()
    terms = models.JSONField()
    changed_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    changed_at = models.DateTimeField()


class PlanTemplate(Sealed):
    """A revision of a template that a project keeps; `steps` as `records.templates` reads them."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="plan_templates")
    key = models.SlugField(max_length=60)
    revision = models.PositiveIntegerField()
    title = models.CharField(max_length=160)
    summary = models.CharField(max_length=500, blank=True)
    cautions = models.JSONField(default=list)
    terms = models.JSONField(default=dict)
    steps = models.JSONField()
    reason = models.CharField(max_length=500, blank=True)
    saved_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    saved_by_name = models.CharField(max_length=200)
    saved_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["project", "key", "revision"], name="template_revision")
        ]
        ordering = ["project", "key", "revision"]
