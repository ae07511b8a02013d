"""Notice to a party that the work comes to its point, and the party's answer."""

from django.db import models

from qc.accounts.models import User
from qc.ledger.sealed import Sealed
from qc.records.models.plan import PlanStep
from qc.records.models.repair import Repair


class Notice(Sealed):
    """A party was told when the work comes to its point."""

    repair = models.ForeignKey(Repair, models.PROTECT, related_name="notices")
    step = models.ForeignKey(PlanStep, models.PROTECT, related_name="notices")
    series = models.PositiveIntegerField()
    party = models.CharField(max_length=10)
    scheduled_at = models.DateTimeField()
    note = models.CharField(max_length=500, blank=True)
    given_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    given_by_name = models.CharField(max_length=200)
    given_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class NoticeAnswer(Sealed):
    """The party that was told says that it comes."""

    notice = models.OneToOneField(Notice, models.PROTECT, related_name="answer")
    note = models.CharField(max_length=500, blank=True)
    answered_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    answered_by_name = models.CharField(max_length=200)
    answered_at = models.DateTimeField()
